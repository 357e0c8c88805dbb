"""A copy is made while others write, is looked through, and goes back only where nothing is lost by it."""

from __future__ import annotations

import subprocess
import sys
import threading
from hashlib import sha256
from pathlib import Path

import pytest

from buildsheet.actions.audit.run import audit
from buildsheet.actions.backup import backup
from buildsheet.actions.health import health
from buildsheet.actions.restore import restore
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.errors import WorldError
from buildsheet.storage import orders
from tests.workshops import MORNING, counts, example, raw


def copied(path: Path) -> dict[str, int]:
    opened = open_workshop(path, create=False)
    try:
        return counts(opened)
    finally:
        opened.close()


def test_a_copy_holds_what_was_answered_before_and_is_sound(workshop: Workshop, tmp_path: Path):
    take_order(workshop, raw(example("D-1001")))
    made = backup(workshop.path, tmp_path / "copy.db")
    assert made.digest == "sha256:" + sha256((tmp_path / "copy.db").read_bytes()).hexdigest()
    assert (made.sizes["orders"], made.last_event) == (1, counts(workshop)["events"])
    assert copied(tmp_path / "copy.db") == counts(workshop)


def test_only_its_owner_reads_a_copy(workshop: Workshop, tmp_path: Path):
    backup(workshop.path, tmp_path / "copy.db")
    assert (tmp_path / "copy.db").stat().st_mode & 0o777 == 0o600


def test_a_copy_never_overwrites_and_leaves_nothing_half_done(workshop: Workshop, tmp_path: Path):
    there = tmp_path / "copy.db"
    there.write_text("mine")
    with pytest.raises(WorldError, match="is there already"):
        backup(workshop.path, there)
    with pytest.raises(WorldError, match="no such directory"):
        backup(workshop.path, tmp_path / "nowhere" / "copy.db")
    assert there.read_text() == "mine"
    assert [each.name for each in tmp_path.iterdir() if "part" in each.name] == []


def test_copies_made_while_orders_come_in_are_each_whole(workshop: Workshop, tmp_path: Path):
    stop = threading.Event()
    taken: list[str] = []
    came = threading.Semaphore(0)

    def post() -> None:
        while not stop.is_set():
            number = f"T-{len(taken)}"
            took = take_order(workshop, raw(example("D-1003", **{"/number": number})))
            assert took.answered is not None
            taken.append(number)
            came.release()

    posting = threading.Thread(target=post)
    posting.start()
    try:
        for turn in range(3):
            assert came.acquire(timeout=60)
            before = list(taken)
            backup(workshop.path, tmp_path / f"{turn}.db")
            opened = open_workshop(tmp_path / f"{turn}.db", create=False)
            with opened.database.reading() as section:
                assert all(orders.numbered(section, number) for number in before)
            assert audit(opened).faults == []
            opened.close()
    finally:
        stop.set()
        posting.join()


def test_a_damaged_file_gives_no_copy(workshop: Workshop, tmp_path: Path):
    workshop.close()
    bent = bytearray(workshop.path.read_bytes())
    for place in range(len(bent) // 4096 - 8, len(bent) // 4096):
        bent[place * 4096 : place * 4096 + 64] = b"\xff" * 64
    workshop.path.write_bytes(bent)
    with pytest.raises(WorldError):
        backup(workshop.path, tmp_path / "copy.db")
    assert not (tmp_path / "copy.db").exists()


def test_a_restored_workshop_goes_on_where_the_copy_was_made(workshop: Workshop, tmp_path: Path):
    take_order(workshop, raw(example("D-1001")))
    before = counts(workshop)
    made = backup(workshop.path, tmp_path / "copy.db")
    take_order(workshop, raw(example("D-1002")))
    workshop.close()
    done = restore(made.path, workshop.path, moment=MORNING, digest=made.digest, over_newer=True)
    assert done.done
    assert done.aside is not None
    again = open_workshop(workshop.path, create=False)
    assert counts(again) == before
    assert health(again).writable
    assert take_order(again, raw(example("D-1002"))).outcome == "taken"
    assert audit(again).faults == []
    again.close()
    # what was replaced is still there, whole
    assert copied(done.aside)["orders"] == 2


def test_a_file_that_knows_more_stays_and_says_what_would_be_lost(
    workshop: Workshop, tmp_path: Path
):
    made = backup(workshop.path, tmp_path / "copy.db")
    take_order(workshop, raw(example("D-1001")))
    workshop.close()
    refused = restore(made.path, workshop.path, moment=MORNING)
    assert (refused.done, refused.aside) == (False, None)
    assert "orders: 1 more than in the copy" in refused.newer
    assert copied(workshop.path)["orders"] == 1


def test_a_copy_of_another_history_is_not_taken_for_an_earlier_one(
    workshop: Workshop, empty_workshop: Workshop, tmp_path: Path
):
    take_order(workshop, raw(example("D-1001")))
    made = backup(workshop.path, tmp_path / "copy.db")
    with empty_workshop.database.writing() as section:
        section.run(
            "insert into events values (1, '2030-01-01T00:00:00Z', 'other', null, null, '{}')"
        )
    empty_workshop.close()
    refused = restore(made.path, empty_workshop.path, moment=MORNING)
    assert refused.newer == ("event 1 is another one here: the copy is of another history",)


def test_a_file_that_another_process_has_open_is_not_replaced(workshop: Workshop, tmp_path: Path):
    made = backup(workshop.path, tmp_path / "copy.db")
    workshop.close()
    script = (
        "import sys; from pathlib import Path\n"
        "from buildsheet.storage.database import Database\n"
        "held = Database(Path(sys.argv[1])); print('open', flush=True); sys.stdin.read()\n"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", script, str(workshop.path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    with other:
        assert other.stdout is not None
        assert other.stdout.readline() == "open\n"
        with pytest.raises(WorldError, match="stop the service first"):
            restore(made.path, workshop.path, moment=MORNING, over_newer=True)
        other.communicate("")
    assert restore(made.path, workshop.path, moment=MORNING).done


def test_a_damaged_workshop_file_is_replaced_only_when_told_to(workshop: Workshop, tmp_path: Path):
    made = backup(workshop.path, tmp_path / "copy.db")
    workshop.close()
    workshop.path.write_bytes(b"nothing of a database" * 500)
    refused = restore(made.path, workshop.path, moment=MORNING)
    assert not refused.done
    assert "nobody can tell" in refused.newer[0]
    done = restore(made.path, workshop.path, moment=MORNING, over_newer=True)
    assert done.done
    assert copied(workshop.path)["orders"] == 0


def test_what_is_no_sound_copy_or_not_the_one_meant_is_refused(
    workshop: Workshop, empty_workshop: Workshop, tmp_path: Path
):
    made = backup(workshop.path, tmp_path / "copy.db")
    target = tmp_path / "new.db"
    with pytest.raises(WorldError, match="it has digest"):
        restore(made.path, target, moment=MORNING, digest="sha256:0")
    (tmp_path / "text.db").write_text("no database at all, whatever its name says")
    with pytest.raises(WorldError):
        restore(tmp_path / "text.db", target, moment=MORNING)
    with pytest.raises(WorldError, match="no such file"):
        restore(tmp_path / "none.db", target, moment=MORNING)
    with pytest.raises(WorldError, match="a log lies beside it"):
        restore(empty_workshop.path, target, moment=MORNING)
    assert not target.exists()
    assert [each.name for each in tmp_path.iterdir() if "part" in each.name] == []
