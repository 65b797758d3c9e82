"""A medium against a plain bytearray (the oracle): what is read is what was written, wherever it lies."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from minisim.catalogue import Catalogue
from minisim.media import Medium, MediumFullError, Writing, geometry_of, open_medium
from minisim.media.overlay import overlay_path
from minisim.problems import InputError

CATALOGUE = Catalogue()
SINGLE = "floppy-8-inch-single"
EACH = 128  # bytes of a sector (floppy-guide-1978)


def image(folder: Path, name: str = "a.floppy", size: int = 256_256) -> Path:
    """An image of an eight-inch diskette in which every sector tells its number."""
    path = folder / name
    path.write_bytes(b"".join(number.to_bytes(2, "little") * (EACH // 2) for number in range(size // EACH)))
    return path


def opened(path: Path, writing: Writing = Writing.APART) -> Medium:
    return open_medium(path, CATALOGUE, kind=SINGLE, writing=writing)


# ---- geometry


@pytest.mark.parametrize(
    ("kind", "size"),
    [  # devices.md 6 to 9: derived from geometry
        ("floppy-8-inch-single", 256_256),
        ("floppy-8-inch-double", 512_512),
        ("cartridge-2mb", 2_494_464),
        ("cartridge-5mb", 5_242_880),
        ("cartridge-10mb", 10_485_760),
        ("block-tape-cartridge", 262_144),
    ],
)
def test_sizes_are_those_that_follow_from_the_printed_geometry(kind: str, size: int) -> None:
    geometry = geometry_of(CATALOGUE.medium(kind))
    assert geometry is not None and geometry.size == size
    assert geometry.cylinders * geometry.heads * geometry.track == geometry.sectors


def test_a_sector_has_the_number_of_the_order_of_the_image() -> None:
    """Block n = (cylinder x 2 + surface) x 12 + sector (devices.md 6); floppy sectors count from 1 (devices.md 8)."""
    disk, floppy = geometry_of(CATALOGUE.medium("cartridge-2mb")), geometry_of(CATALOGUE.medium(SINGLE))
    assert disk is not None and floppy is not None
    assert disk.number(202, 1, 11) == 4871
    assert (floppy.number(0, 0, 1), floppy.number(1, 0, 1), floppy.number(76, 0, 26)) == (0, 26, 2001)
    for wrong in ((77, 0, 1), (0, 1, 1), (0, 0, 0), (0, 0, 27), (-1, 0, 1)):
        with pytest.raises(ValueError, match="has no sector"):
            floppy.number(*wrong)


# ---- reading and writing


class AnyUse(RuleBasedStateMachine):
    """Reads, writes, closings and openings in any order, kept and dropped, with a bytearray beside it."""

    folder: Path

    @initialize(through=st.booleans())
    def start(self, through: bool) -> None:
        self.path = image(self.folder, f"{id(self)}.floppy")
        self.base = bytearray(self.path.read_bytes())
        self.now = bytearray(self.base)
        self.through = through
        self.open()

    def open(self) -> None:
        self.medium = opened(self.path, Writing.THROUGH if self.through else Writing.APART)

    @rule(first=st.integers(0, 2001), count=st.integers(1, 70), fill=st.binary(min_size=1, max_size=4))
    def write(self, first: int, count: int, fill: bytes) -> None:
        count = min(count, 2002 - first)
        data = (fill * (count * EACH))[: count * EACH]
        self.medium.write(first, data)
        self.now[first * EACH : (first + count) * EACH] = data

    @rule(first=st.integers(0, 2001), count=st.integers(1, 70))
    def read(self, first: int, count: int) -> None:
        count = min(count, 2002 - first)
        assert self.medium.read(first, count) == self.now[first * EACH : (first + count) * EACH]

    @rule()
    def close_and_open(self) -> None:
        self.medium.close()
        assert self.path.read_bytes() == (self.now if self.through else self.base)
        if not self.through and self.now != self.base:
            assert overlay_path(self.path).exists()
        if self.through:
            assert not overlay_path(self.path).exists()
        self.open()

    @rule()
    def keep(self) -> None:
        self.medium.keep()
        self.base = bytearray(self.now)
        assert self.path.read_bytes() == self.now
        assert self.medium.changed == ()

    @rule()
    def drop(self) -> None:
        if not self.through:
            self.medium.drop()
            self.now = bytearray(self.base)

    @invariant()
    def the_image_stays_as_it_is(self) -> None:
        if hasattr(self, "path") and not self.through:
            assert self.path.read_bytes() == self.base

    def teardown(self) -> None:
        if hasattr(self, "medium"):
            assert self.medium.read(0, 2002) == self.now
            self.medium.close()


def test_any_use_is_what_a_bytearray_says(tmp_path: Path) -> None:
    AnyUse.folder = tmp_path
    from hypothesis.stateful import run_state_machine_as_test

    run_state_machine_as_test(
        AnyUse,
        settings=settings(
            max_examples=25, stateful_step_count=12, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )


def test_reading_leaves_no_file_behind(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path) as medium:
        medium.read(0, 10)
    assert sorted(one.name for one in tmp_path.iterdir()) == ["a.floppy"]


@pytest.mark.parametrize(("first", "count"), [(-1, 1), (2002, 1), (2001, 2), (0, 0), (0, 2003)])
def test_nothing_lies_beyond_the_medium(tmp_path: Path, first: int, count: int) -> None:
    with opened(image(tmp_path)) as medium:
        with pytest.raises(ValueError, match="sectors 0 to 2001"):
            medium.read(first, count)
        with pytest.raises(ValueError, match="sector"):
            medium.write(first, bytes(max(count, 0) * EACH))


def test_part_of_a_sector_is_not_written(tmp_path: Path) -> None:
    with opened(image(tmp_path)) as medium, pytest.raises(ValueError, match="whole sectors"):
        medium.write(0, bytes(EACH - 1))


def test_what_is_only_looked_at_is_not_written(tmp_path: Path) -> None:
    path = image(tmp_path)
    path.chmod(0o444)
    with opened(path, Writing.NEVER) as medium, pytest.raises(ValueError, match="opened for it"):
        medium.write(0, bytes(EACH))


# ---- two machines, other images, damage


def test_two_machines_do_not_share_a_medium(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path):
        for writing in Writing:
            with pytest.raises(InputError, match="in use by another machine"):
                opened(path, writing)
    opened(path).close()


def test_readers_share_one(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path, Writing.NEVER), opened(path, Writing.NEVER):
        pass


def test_an_overlay_of_another_content_is_refused_and_kept(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path) as medium:
        medium.write(7, bytes(EACH))
    changed = bytearray(path.read_bytes())
    changed[0] ^= 1
    path.write_bytes(changed)
    with pytest.raises(InputError, match="made for another content"):
        opened(path)
    assert overlay_path(path).exists()


def test_a_copied_image_of_the_same_content_is_the_same(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path) as medium:
        medium.write(7, b"x" * EACH)
    copy = tmp_path / "copy"
    copy.mkdir()
    for one in (path, overlay_path(path)):
        shutil.copy(one, copy / one.name)  # another time of change
    with opened(copy / path.name) as medium:
        assert medium.read(7) == b"x" * EACH


def test_changes_kept_apart_are_not_mixed_with_a_write_through(tmp_path: Path) -> None:
    path = image(tmp_path)
    with opened(path) as medium:
        medium.write(7, bytes(EACH))
    with pytest.raises(InputError, match="keep them or drop them first"):
        opened(path, Writing.THROUGH)


@pytest.mark.parametrize("data", [b"SQLite format 3\0" + bytes(3000), b"no database", os.urandom(5000)])
def test_a_damaged_overlay_is_refused_and_left_alone(tmp_path: Path, data: bytes) -> None:
    path = image(tmp_path)
    overlay_path(path).write_bytes(data)
    with pytest.raises(InputError, match="overlay"):
        opened(path)
    assert path.read_bytes() == image(tmp_path, "b.floppy").read_bytes()


@pytest.mark.parametrize("writing", [Writing.APART, Writing.THROUGH])
def test_an_overlay_whose_maker_was_killed_holds_nothing(tmp_path: Path, writing: Writing) -> None:
    path = image(tmp_path)
    overlay_path(path).write_bytes(b"")
    with opened(path, writing) as medium:
        assert medium.changed == ()
        medium.write(3, b"x" * EACH)
        assert medium.read(3) == b"x" * EACH


def test_a_log_that_outlived_its_overlay_brings_nothing_back(tmp_path: Path) -> None:
    path = image(tmp_path)
    medium = opened(path)
    medium.write(3, b"x" * EACH)
    log = overlay_path(path).with_name(overlay_path(path).name + "-wal")
    old = log.read_bytes()
    medium.close()
    overlay_path(path).unlink()
    log.write_bytes(old)
    with opened(path) as medium:
        medium.write(5, b"y" * EACH)
        assert medium.changed == (5,)
        assert medium.read(3) == image(tmp_path, "b.floppy").read_bytes()[3 * EACH : 4 * EACH]


@pytest.mark.parametrize(
    ("size", "name", "said"),
    [
        (256_255, "a.floppy", "that of no medium"),
        (0, "a.floppy", "that of no medium"),
        (262_144, "a.floppy", "that of no medium"),  # a block tape's size under another ending
        (256_256, "a.img", None),
    ],
)
def test_a_file_of_no_medium_is_an_unknown_file(tmp_path: Path, size: int, name: str, said: str | None) -> None:
    path = tmp_path / name
    path.write_bytes(bytes(size))
    if said is None:
        with open_medium(path, CATALOGUE) as medium:
            assert medium.geometry.kind == SINGLE
        return
    with pytest.raises(InputError, match=said):
        open_medium(path, CATALOGUE)


def test_a_kind_of_another_size_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="256256 bytes; an image of floppy-8-inch-double has 512512"):
        open_medium(image(tmp_path), CATALOGUE, kind="floppy-8-inch-double")
    with pytest.raises(InputError, match='no kind of medium "floppy-8-inch-singel"; did you mean'):
        open_medium(image(tmp_path), CATALOGUE, kind="floppy-8-inch-singel")
    with pytest.raises(InputError, match="no fixed size"):
        open_medium(image(tmp_path), CATALOGUE, kind="paper-tape")


def test_what_is_said_beside_the_image_is_used_and_its_mistakes_are_told(tmp_path: Path) -> None:
    path = image(tmp_path, "a.bin")
    beside = tmp_path / "a.bin.yaml"
    beside.write_text(f"medium: 1\nkind: {SINGLE}\nlabel: system\nbad-sectors: [12, 40]\n")
    with open_medium(path, CATALOGUE) as medium:
        assert (medium.description.label, medium.bad) == ("system", {12, 40})
    beside.write_text("medium: 2\nkin: x\nsha256: abc\n")
    with pytest.raises(InputError) as caught:
        open_medium(path, CATALOGUE)
    said = " ".join(map(str, caught.value.problems))
    assert "version 1" in said and '"kin"' in said and "64 hexadecimal digits" in said
    beside.write_text(f"medium: 1\nkind: {SINGLE}\nbad-sectors: [2002]\n")
    with pytest.raises(InputError, match="has 2002 sectors"):
        open_medium(path, CATALOGUE)


# ---- a full disk


def test_a_full_disk_leaves_what_was_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = image(tmp_path)
    with opened(path) as medium:
        medium.write(7, b"x" * EACH)
        overlay = medium._overlay
        assert overlay is not None
        overlay._base.execute(f"PRAGMA max_page_count={overlay._base.execute('PRAGMA page_count').fetchone()[0]}")
        with pytest.raises(MediumFullError, match="full"):
            medium.write(0, b"y" * EACH * 500)
        assert medium.read(7) == b"x" * EACH
        assert medium.read(0) == bytes(EACH)
        assert medium.changed == (7,)
    with opened(path) as medium:
        assert medium.changed == (7,)


def test_a_full_disk_at_a_write_through_loses_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = image(tmp_path)
    import minisim.media.store as store

    real = store._write_at

    def full(handle: int, place: int, data: bytes) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    medium = opened(path, Writing.THROUGH)
    monkeypatch.setattr(store, "_write_at", full)
    with pytest.raises(MediumFullError):
        medium.write(7, b"x" * EACH)
    medium.close()
    monkeypatch.setattr(store, "_write_at", real)
    with opened(path, Writing.THROUGH) as again:  # what was taken on is brought over later
        assert again.read(7) == b"x" * EACH
    assert path.read_bytes()[7 * EACH : 8 * EACH] == b"x" * EACH


def test_a_real_file_system_that_is_full(tmp_path: Path) -> None:
    """A limit on the size of files stands for it; the signal is ignored, so writes fail with EFBIG."""
    path = image(tmp_path)
    code = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "from pathlib import Path\n"
        "from minisim.catalogue import Catalogue\n"
        "from minisim.media import open_medium, MediumFullError\n"
        "m = open_medium(Path(sys.argv[1]), Catalogue())\n"
        "m.write(1, b'a' * 128)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, 60_000))\n"
        "try: m.write(0, b'b' * 128 * 2002)\n"
        "except MediumFullError: print('full', m.read(1) == b'a' * 128, m.read(0) == bytes(128))\n"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "full True True", done.stderr
    with opened(path) as medium:
        assert medium.read(1) == b"a" * EACH
        assert medium.read(0) == bytes(EACH)
