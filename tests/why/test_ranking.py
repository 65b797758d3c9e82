"""Which causes a machine can have, and in which order: whole lists, on demo machines and on machines with faults."""

from __future__ import annotations

from pathlib import Path

import pytest
from why_machines import DEMO, MACHINES, RULES, asked, demo, fixtures, ids

from minisim.findings import Severity
from minisim.why.reader import heads, read_symptom, symptom_files

EXAMPLES = [head.examples[0] for head in heads()]

ORDERS = [
    ("desk", "halted 000104", ["clock-unprepared", "started-with-priority-0", "ran-into-vectors", "bad-memory-word"]),
    # 300 of the second line without one of its bits is 100
    ("gauge", "halted 000104", ["clock-unprepared", "vector-bit-lost", "ran-into-vectors", "bad-memory-word"]),
    ("chart", "halted 000104", ["clock-ticks-unexpected", "ran-into-vectors", "bad-memory-word"]),
    ("ledger", "halted 000104", ["clock-unprepared", "vector-bit-lost", "ran-into-vectors", "bad-memory-word"]),
    ("desk", "halted 000014", ["instruction-missing", "vector-on-trap", "ran-into-vectors", "bad-memory-word"]),
    (
        "gauge", "runs only without the terminator",
        ["open-grant-to-turnaround", "terminator-wrong-slot", "terminator-itself", "too-much-termination", "rail-low"],
    ),
    (
        "ledger", "runs only without the terminator",
        ["terminator-wrong-slot", "grant-hole-sep", "terminator-itself", "too-much-termination", "rail-low"],
    ),
    (
        "desk", "nothing on the console",
        ["halt-switch", "terminal-itself", "rail-low", "no-console", "console-speed", "console-levels",
         "power-good-mux", "break-halts", "silent-program", "wrong-slot", "no-memory-at-zero", "grant-hole-mux",
         "address-clash"],
    ),
    (
        "gauge", "nothing on the console",
        ["halt-switch", "terminal-itself", "rail-low", "no-console", "console-speed", "console-levels",
         "power-good-sep", "grant-hole-sep", "silent-program", "wrong-slot", "no-memory-at-zero", "far-end-open",
         "two-consoles", "address-clash"],
    ),
    (
        "gauge", "prints but takes no keys",
        ["receive-wire-panel", "held-output", "grant-to-console-sep", "loop-both-passive", "speeds-apart",
         "two-consoles", "program-does-not-read"],
    ),
    (
        "desk", "prints but takes no keys",
        ["receive-wire", "held-output", "grant-to-console-mux", "loop-both-passive", "speeds-apart"],
    ),
    ("chart", "time stands still", ["off-in-loadout", "no-source"]),
    (
        "gauge", "halted 000074",
        ["device-unprepared", "vector-switches", "vector-bit-lost", "ran-into-vectors", "bad-memory-word"],
    ),
    ("chart", "halted 000254", ["management-abort", "vector-on-trap", "ran-into-vectors", "bad-memory-word"]),
    ("desk", "halted 000254", ["vector-on-trap", "ran-into-vectors", "bad-memory-word"]),
    ("desk", "rom 043127", ["device-unknown"]),
    ("gauge", "rom 050122", ["device-here"]),
    ("desk", "rom 042130", ["device-missing"]),
    ("desk", "rom 042131", ["device-missing"]),
    (
        "desk", "memory 012344 expected 052525 found 052524",
        ["one-chip", "data-line", "rail-of-memory", "contacts", "bus-load"],
    ),
    (
        "ledger", "trial mul-even/small expected 000017 found 000016",
        ["one-case-only", "one-data-bit", "profile-differs", "rail-low", "contacts"],
    ),
    ("desk", "parity error", []),
]  # fmt: skip


@pytest.mark.parametrize(("name", "words", "order"), ORDERS, ids=[f"{name}: {words}" for name, words, _ in ORDERS])
def test_the_causes_of_a_symptom_stand_in_this_order(name: str, words: str, order: list[str]) -> None:
    assert ids(demo(name, words)) == order


def test_the_desk_halted_at_104_names_the_line_clock_and_its_vector_first() -> None:
    found = demo("desk", "halted 000104")
    assert "000104 is vector 100 + 4" in found.tells[0]
    assert found.tells[1] == "Here the event line of M8186 (main/a/1AB) can interrupt through 100."
    first = found.causes[0]
    assert first.cause.startswith("The line clock of M8186 (main/a/1AB) interrupted through 100")
    assert 'setting "event-line" of M8186 (main/a/1AB)' in first.measure
    assert not first.hand


def test_the_gauge_lists_the_grant_places_in_the_order_of_the_chain() -> None:
    first = demo("gauge", "runs only without the terminator").causes[0]
    assert list(first.places) == [
        "main/a/3CF: M7856 passes the grant; wire CA1-CB1 in",
        "main/a/4CF: M7891 passes the grant; wire CA1-CB1 in",
        "main/a/5CF: M7810 passes the grant; wire CA1-CB1 in",
        "main/a/6CF: M7856 passes the grant; wire CA1-CB1 in",
        "main/a/7CF: empty: grant card G727 in 7D; wire CA1-CB1 in",
        "main/a/8CF: empty: grant card G7273 in 8CD; wire CA1-CB1 out",
        "main/a/9CF: empty: grant card G727 in 9D; wire CA1-CB1 in",
        "main/a/9AB: M9302, where the grants must arrive",
    ]
    assert first.on_paper
    assert first.hand


def test_the_letters_of_a_boot_rom_are_told_and_named() -> None:
    told = {word: demo("desk", f"rom {word}").tells[0] for word in ("043127", "042130", "042131")}
    assert told["043127"].startswith("043127 is the letters FW (high byte 106, low byte 127)")
    assert "8-inch floppy, single density" in told["042130"]
    assert told["042130"].startswith("042130 is the letters DX (high byte 104, low byte 130)")
    assert told["042131"].startswith("042131 is the letters DY (high byte 104, low byte 131)")
    assert "double density" in told["042131"]


def test_a_rom_whose_letters_nobody_knows_is_not_guessed() -> None:
    found = demo("desk", "rom 000240")
    assert "no ROM of the catalogue begins so" in found.tells[0]
    assert ids(found) == ["console-rom", "bytes-swapped"]


# ---- findings


def test_a_hole_in_the_grants_comes_first_when_the_disk_hangs_and_its_place_is_named() -> None:
    found = asked(RULES / "GRANT-001" / "bad-serpentine.yaml", "hangs at the first read of the disk")
    first = found.causes[0]
    assert first.id == "grant-hole-mux"
    assert [(one.rule, one.place) for one in first.findings] == [("GRANT-001", "main/a/2AB")]
    assert first.places[1] == "main/a/2CD: empty, no grant card"


@pytest.mark.parametrize(
    ("file", "words", "cause", "rule"),
    [
        ("GRANT-007/bad-no-card.yaml", "runs only without the terminator", "open-grant-to-turnaround", "GRANT-007"),
        ("GRANT-006/bad-wire-out.yaml", "runs only without the terminator", "open-grant-to-turnaround", "GRANT-006"),
        ("GRANT-005/bad-wire-in.yaml", "hangs at the first read of the disk", "dma-wire-in", "GRANT-005"),
        ("GRANT-002/bad-mux.yaml", "the board never interrupts", "grant-hole-mux", "GRANT-002"),
        ("CONSOLE-004/bad-mux.yaml", "run lamp off", "halt-switch", "CONSOLE-004"),
        ("CLOCK-001/bad-mux-switched-off.yaml", "time stands still", "off-in-loadout", "CLOCK-001"),
        ("CLOCK-001/bad-mux-no-source.yaml", "time stands still", "nothing-ticks", "CLOCK-001"),
        ("CLOCK-001/bad-mux-two-sources.yaml", "time runs too fast", "two-clocks", "CLOCK-001"),
    ],
)
def test_a_finding_brings_its_cause_to_the_top(file: str, words: str, cause: str, rule: str) -> None:
    first = asked(RULES / file, words).causes[0]
    assert first.id == cause
    assert first.findings[0].rule == rule


@pytest.mark.parametrize("every", [21, pytest.param(1, marks=pytest.mark.slow)])
@pytest.mark.parametrize("path", fixtures(), ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_a_cause_with_a_fault_stands_before_every_cause_without(path: Path, every: int) -> None:
    """Every fixture with a handful of symptoms, others for each fixture; in the slow suite with all."""
    number = fixtures().index(path)
    for words in EXAMPLES[number % every :: every]:
        found = asked(path, words)
        worst = [min((one.severity.rank for one in cause.findings), default=9) for cause in found.causes]
        serious = [rank if rank <= Severity.DOUBT.rank else 9 for rank in worst]
        assert serious == sorted(serious), (words, list(zip(ids(found), worst, strict=True)))


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize("words", EXAMPLES)
def test_every_symptom_is_answered_for_every_demo_machine(name: str, words: str) -> None:
    found = demo(name, words)
    texts = [*found.tells, found.otherwise]
    for cause in found.causes:
        texts += [cause.cause, cause.measure, cause.expect, cause.if_not, *cause.places, *cause.not_known]
        assert cause.sources
    texts += [text for out in found.ruled_out for text in (out.cause, out.because)]
    assert all(text and "{" not in text and "}" not in text for text in texts)
    assert len({cause.id for cause in found.causes}) == len(found.causes)
    assert not {cause.id for cause in found.causes} & {out.id for out in found.ruled_out}


def test_the_first_probe_of_a_dead_console_needs_no_disassembly() -> None:
    for name in MACHINES:
        first, second = demo(name, "nothing on the console").causes[:2]
        assert (first.id, second.id) == ("halt-switch", "terminal-itself")
        assert not first.hand
        assert not second.hand


def test_the_first_question_of_a_dead_console_is_the_halt_switch() -> None:
    assert (
        demo("desk", "nothing on the console").ask[0].look.startswith("Set the halt switch on. Does the console print")
    )
    assert (
        demo("gauge", "nothing on the console").ask[0].look.startswith("Set the halt switch on. Does the run lamp go")
    )


def test_damage_is_told_before_any_cause() -> None:
    found = asked(RULES / "SLOT-001" / "bad-twin-bus-slot.yaml", "fuse blows")
    assert [one.rule for one in found.damage] == ["SLOT-001"]
    assert found.causes[0].id == "destroyer-in-slot"


def test_causes_that_the_machine_cannot_have_say_why() -> None:
    found = demo("desk", "runs only without the terminator")
    assert ("open-grant-to-turnaround", "this machine has the multiplexed bus") in [
        (out.id, out.because) for out in found.ruled_out
    ]


def test_what_the_owner_did_not_see_is_not_called_ruled_out() -> None:
    found = demo("desk", "halted 000104")
    assert not {"parity-trap", "trace-bit", "no-answer"} & {out.id for out in found.ruled_out}


def test_a_taken_out_board_names_every_device_behind_its_place() -> None:
    found = demo("gauge", "took a card out of slot 4")
    assert found.causes[0].id == "chain-now-open"
    assert list(found.causes[0].places) == [
        "main/a/5CF: M7810, paper tape reader and punch control",
        "main/a/6CF: M7856, one serial line and line clock",
    ]
    behind = demo("desk", "took a card out of slot 1CD").causes[0]
    assert "M7940 (main/a/2CD)" in behind.cause


def test_a_slot_that_is_not_in_the_machine_is_said_to_be_none() -> None:
    found = demo("desk", "took a card out of slot 17")
    assert found.tells == ("This loadout has no such place behind the processor.",)
    assert "chain-now-open" not in ids(found)


def test_every_cause_of_every_file_is_possible_or_ruled_out_or_no_matter() -> None:
    names = {cause.id for path in symptom_files() for cause in read_symptom(path).causes}
    assert len(names) > 100


def test_a_repeated_question_gives_the_same_answer() -> None:
    path = DEMO / "gauge.yaml"
    assert asked(path, "boots sometimes") == asked(path, "boots sometimes")
