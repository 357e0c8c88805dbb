"""A copy of the workshop file, made while the service runs, and looked through before it counts."""

from __future__ import annotations

import os
from dataclasses import dataclass
from hashlib import file_digest
from pathlib import Path

from buildsheet.errors import WorldError
from buildsheet.findings import Value
from buildsheet.storage import whole


@dataclass(frozen=True, slots=True)
class Copy:
    """A sound copy: ``digest`` over its bytes, ``sizes`` table -> rows, ``last_event`` its newest event's
    number (0: none)."""

    path: Path
    digest: str
    bytes: int
    last_event: int
    sizes: dict[str, int]

    def as_json(self) -> dict[str, Value]:
        """The copy as a document."""
        return {
            "file": str(self.path),
            "digest": self.digest,
            "bytes": self.bytes,
            "last_event": self.last_event,
            "rows": {**self.sizes},
        }


def backup(path: Path, target: Path) -> Copy:
    """Copy the workshop file at ``path`` to ``target``, which must not be there yet.

    What was answered before the call is in it. The name ``target`` only ever stands for a whole copy:
    it is given after the engine's check, and nothing is left where that fails. Raises WorldError.
    """
    if not path.is_file():
        raise WorldError(f"{path}: there is no workshop file here")
    refuse_there(target)
    part = target.with_name(f"{target.name}.part-{os.getpid()}")
    try:
        # Secrets of webhooks and sealed passwords are in it: only its owner reads it.
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        whole.copy_into(path, part)
        made = sound(part)
        # A link is refused where the name was taken meanwhile; a rename would overwrite.
        os.link(part, target)
        settle_directory(target)
    except FileExistsError as trouble:
        raise WorldError(f"{trouble.filename2 or trouble.filename}: is there already") from trouble
    except OSError as trouble:
        raise WorldError(f"cannot write {target}: {trouble.strerror}") from trouble
    finally:
        part.unlink(missing_ok=True)
    return Copy(target, made.digest, made.bytes, made.last_event, made.sizes)


def refuse_there(target: Path) -> None:
    """Raise WorldError where a file of this name is there, or its directory is not."""
    if os.path.lexists(target):
        raise WorldError(f"{target}: is there already; a copy never overwrites")
    if not target.parent.is_dir():
        raise WorldError(f"{target.parent}: there is no such directory")


def sound(copy: Path) -> Copy:
    """The copy, looked through by the engine. Raises WorldError where anything is wrong with it."""
    with whole.looked_into(copy) as section:
        broken = whole.broken_pages(section)
        loose = whole.dangling(section)
        if broken or loose:
            said = broken[0] if broken else f"a row of {loose[0][0]} refers to nothing"
            raise WorldError(f"{copy}: it is damaged: {said}")
        sizes, last = whole.sizes(section), whole.last_event(section)
    return Copy(copy, digest_of(copy), copy.stat().st_size, last[0] if last else 0, sizes)


def digest_of(path: Path) -> str:
    """``sha256:`` over the bytes of a file, as other programs compute it too."""
    with path.open("rb") as opened:
        return "sha256:" + file_digest(opened, "sha256").hexdigest()


def settle_directory(path: Path) -> None:
    """Wait until the name of a file lies on the disk."""
    directory = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(directory)
    finally:
        os.close(directory)
