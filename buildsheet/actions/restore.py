"""A copy put in the place of the workshop file; the file that was there is set aside, never deleted."""

from __future__ import annotations

import os
import shutil
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from buildsheet.actions.backup import Copy, settle_directory, sound
from buildsheet.errors import WorldError
from buildsheet.storage import whole


@dataclass(frozen=True, slots=True)
class Restored:
    """What was done with a copy. ``newer`` says what the file in its place knows and the copy does not;
    where that stood in the way, ``done`` is False and nothing was touched. ``aside`` is where the file
    that was there lies now."""

    copy: Copy
    done: bool
    newer: tuple[str, ...] = ()
    aside: Path | None = None


def restore(
    copy: Path, path: Path, *, moment: datetime, digest: str | None = None, over_newer: bool = False
) -> Restored:
    """Put a copy in the place of the workshop file ``path``.

    ``digest`` is what `backup` said of the copy. ``over_newer`` replaces also a file that knows more than
    the copy, or that cannot be read. Raises WorldError where the copy is not sound or not the one that is
    meant, and where somebody has the workshop file open.
    """
    if not copy.is_file():
        raise WorldError(f"{copy}: there is no such file")
    if path.exists() and copy.samefile(path):
        raise WorldError(f"{copy}: this is the workshop file itself")
    if copy.with_name(f"{copy.name}-wal").exists():
        raise WorldError(f"{copy}: a log lies beside it, so it is no copy made by backup")
    part = path.with_name(f"{path.name}.part-{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _copied(copy, part)
        # What is looked through is what will stand there, not what was read from.
        seen = sound(part)
        seen = Copy(copy, seen.digest, seen.bytes, seen.last_event, seen.sizes)
        if digest is not None and digest != seen.digest:
            raise WorldError(f"{copy}: it has digest {seen.digest}, not {digest}")
        return _placed(part, path, seen, moment, over_newer=over_newer)
    except OSError as trouble:
        raise WorldError(f"cannot restore {path}: {trouble.strerror or trouble}") from trouble
    finally:
        part.unlink(missing_ok=True)


def _copied(copy: Path, part: Path) -> None:
    handle = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(handle, "wb") as written, copy.open("rb") as read:
        shutil.copyfileobj(read, written, 1 << 20)
        written.flush()
        os.fsync(written.fileno())


def _placed(part: Path, path: Path, seen: Copy, moment: datetime, *, over_newer: bool) -> Restored:
    if not path.exists():
        part.replace(path)
        settle_directory(path)
        return Restored(seen, done=True)
    _as_owned(path, part)
    with ExitStack() as held:
        newer = _newer(held, path, part)
        if newer and not over_newer:
            return Restored(seen, done=False, newer=newer)
        aside = path.with_name(f"{path.name}.before-{moment:%Y%m%dT%H%M%S%fZ}")
        # A log left beside would be read as the new file's own.
        for end in ("-wal", "-shm"):
            beside = path.with_name(path.name + end)
            if beside.exists():
                beside.rename(aside.with_name(aside.name + end))
        os.link(path, aside)
        part.replace(path)
        settle_directory(path)
    return Restored(seen, done=True, newer=newer, aside=aside)


def _as_owned(path: Path, part: Path) -> None:
    """Give the file the owner and the rights of the one it replaces: the service opens it as before."""
    shutil.copymode(path, part)
    there, new = path.stat(), part.stat()
    if (there.st_uid, there.st_gid) != (new.st_uid, new.st_gid):
        os.chown(part, there.st_uid, there.st_gid)


def _newer(held: ExitStack, path: Path, part: Path) -> tuple[str, ...]:
    """What the workshop file knows and the copy does not; nobody else opens it until ``held`` ends."""
    try:
        here = held.enter_context(whole.held_alone(path))
        with whole.looked_into(part) as copied:
            return whole.beyond(here, copied)
    except whole.InUse:
        raise
    except WorldError as trouble:
        return (f"it cannot be read, so nobody can tell what it knows ({trouble})",)
