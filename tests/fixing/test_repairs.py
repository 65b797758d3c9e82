"""Every rule is either put right in a named case, or says why no change of a file can help."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from putting import CASES, RULES, acts, edits_in, proposed, situation_of

from minisim.fixing.comparing import new_findings
from minisim.fixing.repairs import all_repairs, beyond, repairs_of
from minisim.rules import all_rules

# Fixture (of tests/rules, or of cases/ here) -> the changes that are proposed for it, whole.
PUT_RIGHT: dict[str, list[str]] = {
    "ADDR-001/bad-mux-clocks": ["set clock of M8012 (main/a/4) to off"],
    "ADDR-001/bad-mux": ["set address of M7940 (main/a/3AB) from 776500 to 776510"],
    "ADDR-002/bad-mux": ["set address of M3106 (main/a/2AB) from 760110 to 760100"],
    "ADDR-003/bad-only-tape-port": ["set address of M7559 (main/a/2AB) from 760404 to 774500"],
    "ADDR-004/bad-mux": [
        "set address of board described in place (main/a/2AB) from 777774 to 764000, if the board has switches for it"
    ],
    "ADDR-005/bad-mux": ["set address of M7940 (main/a/2AB) from 775600 to 776500"],
    "cases/power-up-starts-in-the-empty-window": ["set start-from of M9312 (main/a/3AB) from low to high"],
    "CABLE-001/bad-sep": ["plug the cable from main/a/5CF to terminal into main/a/3CF"],
    "CABLE-002/bad-mux": [
        "take floppy-cable as the cable from main/a/2AB to floppy-8-inch-single-pair, not fixed-disk-control-cable"
    ],
    "CABLE-003/bad-sep": ["set the drive on the cable from main/a/5 to cartridge-disk-10mb-drive to unit 0, not 4"],
    "CLOCK-001/bad-mux-switched-off": ["set event-line of M8186 (main/a/1AB) from off to on"],
    "CONSOLE-001/bad-mux-vectors-too": [
        "set address of M7940 (main/a/2AB) from 777560 to 776500",
        "set vector of M7940 (main/a/2AB) from 60 to 300",
    ],
    "CONSOLE-002/bad-mux": [
        "set address of M7940 (main/a/2CD) from 776500 to 777560",
        "set vector of M7940 (main/a/2CD) from 300 to 60",
        "set console of M7940 (main/a/2CD) from no to yes",
    ],
    "CONSOLE-003/bad-mux-speed": ["set baud of M7940 (main/a/2CD) from 9600 to 300"],
    "CONSOLE-003/bad-mux-wiring": ["set wiring of M7940 (main/a/2CD) from current-loop to eia"],
    "CONSOLE-003/bad-mux-form": [
        "set bits of M7940 (main/a/2CD) from 7 to 8",
        "set parity of M7940 (main/a/2CD) from even to none",
    ],
    "CONSOLE-003/bad-mux-disputed-speed": [
        "set baud of M8043 (main/a/2CD) from 110 to 9600",
        "set the far end of the cable from main/a/2CD to terminal to 9600 baud, not 110",
    ],
    "CONSOLE-004/bad-mux": ["switch the halt switch off"],
    "CONSOLE-005/bad-sep-no-crystal-gives-it": ["set baud of M7800 (main/a/5CF) from 9500 to 2400"],
    "DMA-001/bad-18-bit-floppy": ["set kb of M8067 (main/a/2) from 512 to 256: the machine has less memory then"],
    "DMA-002/bad-mux": ["move M7269 from main/a/3AB to main/a/2AB, and M8029 from main/a/2AB to main/a/3AB"],
    "cases/no-map-for-256-kb": ["set kb of M8722 (main/a/3) from 256 to 128: the machine has less memory then"],
    "GRANT-001/bad-two-behind": [
        "put a grant card (M9047) into main/a/2CD",
        "put a grant card (M9047) into main/a/2AB",
    ],
    "GRANT-001/bad-serpentine": ["move M7940 from main/a/2AB to main/a/2CD"],
    "GRANT-002/bad-mux": [
        "move M7940 from main/a/3AB to main/a/2AB, and M8639 from main/a/2 to main/a/3",
        "put a grant card (M9047) into main/a/2CD",
    ],
    "GRANT-003/bad-straight-down": ["move M7940 from main/a/2AB to main/a/2CD"],
    "GRANT-004/bad-in-in-private-link": ["set grant-jumpers of M7957 (main/a/4) from in to out"],
    "GRANT-004/bad-out-in-twin-bus": ["set grant-jumpers of M7957 (main/a/2) from out to in"],
    "GRANT-005/bad-not-stated": ["take the DMA-grant wire CA1-CB1 out at slot 5 of main/a"],
    "GRANT-005/bad-wire-in": ["take the DMA-grant wire CA1-CB1 out at slot 5 of main/a"],
    "GRANT-006/bad-two-out": [
        "put the DMA-grant wire CA1-CB1 in at slot 4 of main/a",
        "put the DMA-grant wire CA1-CB1 in at slot 7 of main/a",
    ],
    "GRANT-007/bad-before-a-board": ["put a grant card (G727) into main/a/5D"],
    "GRANT-007/bad-cable-not-plugged": ["plug in the bus cable that leads to main/b"],
    "GRANT-008/bad-disk-behind-a-line": [
        "move M7555 from main/a/2AB to main/a/2CD, and M7940 from main/a/2CD to main/a/2AB"
    ],
    "INT-002/bad-nothing-there": ["take the acceptance of POWER-002 at main +5 out: nothing matches it"],
    "MEM-001/bad-mux": ["set start of M8044 (main/a/2AB) from 200000 to 100000"],
    "MEM-002/bad-mux": ["set start of M8044 (main/a/2AB) from 40000 to 100000"],
    "MEM-003/bad-mux": ["set address of M8059 (main/a/3AB) from 772100 to 772102"],
    "MEM-004/bad-mux": ["set kb of M8059 (main/a/1CD) from 256 to 128: the machine has less memory then"],
    "MEM-005/bad-sep": [
        "set kb of M7891 (main/a/4) from 192 to 64: the machine has less memory then",
        "set start of M7891 (main/a/8) from 600000 to 200000",
    ],
    "MEM-006/bad-18-bit-board": [
        "take M8044 out of main/a/2AB",
        "set start of M8067 (main/a/3) from 200000 to 0",
        "put a grant card (M9047) into main/a/2AB",
    ],
    "MEM-007/bad-behind": ["move M7458 from main/a/2 to main/a/1, and M8190 from main/a/1 to main/a/2"],
    "MEM-009/bad-mux": ["set start of M8044 (main/a/1CD) from 20000 to 0"],
    "OPT-001/bad-floating-board-not-there": [
        "take fpp out of the options of M8265/M8266 (main/a/1-2): the machine does without it"
    ],
    "OPT-002/bad-board-of-another-processor": [
        "take M7093 out of main/a/3",
        "put a grant card (G727) into main/a/3D",
    ],
    "OPT-003/bad-slot-of-the-bus": ["move M8267 from main/a/6 to main/a/4, and G727 from main/a/4D to main/a/6D"],
    "OPT-004/bad-floating-without-integer": ["take M7239 out of main/a/6"],
    "OPT-005/bad-one-of-two": ["name option fis of M7270 (main/a/1AB) as well"],
    "POWER-005/bad-two-regulators": ["feed slot 2 of main/a from the +5 regulator first"],
    "cases/one-box-of-two-overloaded": [
        "move M7940 from main/a/4AB to lower/a/2CD",
        "put a grant card (M9047) into lower/a/1CD",
    ],
    "cases/private-link-memory-in-a-twin-bus-slot": [
        "move M8637 from main/a/4 to main/a/2, and M9047 from main/a/2 to main/a/4AB"
    ],
    "SLOT-002/bad-terminator-in-modified-slot": ["take M930 out of main/a/8AB"],
    "SLOT-003/bad-hex-over-bus-end": ["move M7819 from main/a/9 to main/a/8, and G727 from main/a/8D to main/a/9D"],
    "cases/extended-memory-in-a-modified-slot": [
        "move M8722 from main/a/7 to main/a/6, and G727 from main/a/6D to main/a/7D"
    ],
    "SLOT-006/bad-sep": [
        "move M7485/M7486 from main/a/5 to main/a/5-6",
        "write the set once, at main/a/5-6, and no longer at main/a/7",
        "put the DMA-grant wire CA1-CB1 in at slot 7 of main/a",
        "move G727 from main/a/6D to main/a/7D",
    ],
    "SLOT-006/bad-order": ["at main/a/4-5, put X0013 into slot 4 and X0014 into slot 5"],
    "SLOT-007/bad-dual-over-four-rows": ["move M7940 from main/a/2AD to main/a/2CD"],
    "SLOT-008/bad-mux-in-sep": ["take M7940 out of main/a/8CD", "put a grant card (G727) into main/a/8D"],
    "SLOT-009/bad-mux": ["take M9047 out of main/a/4CD"],
    "SLOT-010/bad-dual-in-link-rows": ["move M7940 from main/a/3CD to main/a/4AB, and M8012 from main/a/4 to main/a/5"],
    "SLOT-011/bad-empty-place-before": [
        "move M8186 from main/a/2AB to main/a/1AB",
        "put a grant card (M9047) into main/a/2AB",
    ],
    "cases/terminator-before-the-end": ["move M930 from main/a/8AB to main/a/9AB"],
    "cases/terminator-in-the-middle": [
        "move M9400-YA from main/a/3AB to main/a/5AB",
        "put a grant card (M9047) into main/a/3AB",
    ],
    "TERM-002/bad-mux": ["take M9400-YB out of main/a/2AB"],
    "VECT-001/bad-mux": ["set vector of M7940 (main/a/3AB) from 300 to 310"],
    "VECT-002/bad-mux-four-lines": ["set vector of M8043 (main/a/2CD) from 304 to 300"],
    "VECT-003/bad-mux": ["set vector of M7940 (main/a/2AB) from 240 to 300"],
    "cases/console-vector-on-power-failure": ["set vector of M7940 (main/a/2CD) from 24 to 60"],
    "VECT-004/bad-mux": ["set vector of M7940 (main/a/2AB) from 302 to 300"],
}
# The rule that a case of this folder is about; a fixture of a rule is about that rule.
ABOUT = {
    "cases/power-up-starts-in-the-empty-window": "BOOT-002",
    "cases/console-vector-on-power-failure": "VECT-005",
    "cases/no-map-for-256-kb": "DMA-003",
    "cases/one-box-of-two-overloaded": "POWER-002",
    "cases/private-link-memory-in-a-twin-bus-slot": "SLOT-001",
    "cases/extended-memory-in-a-modified-slot": "SLOT-004",
    "cases/terminator-before-the-end": "TERM-001",
    "cases/terminator-in-the-middle": "TERM-002",
}
# Repairs that are offered and can help only now and then: no small case is known.
SELDOM = {"LOAD-001", "POWER-001", "POWER-003"}
# Rules for which nobody offers a change: the machine needs something that is not in the file.
NEVER = {
    "BOOT-001", "CABLE-004", "CARE-001", "GRANT-009", "INT-001", "LOAD-002", "LOAD-003", "MEDIA-001", "MEM-008",
    "POWER-004", "SLOT-005",
}  # fmt: skip


def path_of(name: str) -> Path:
    folder, _, file = name.partition("/")
    return CASES / f"{file}.yaml" if folder == "cases" else RULES / f"{name}.yaml"


def about(name: str) -> str:
    return ABOUT.get(name) or name.split("/")[0]


@pytest.mark.parametrize("name", PUT_RIGHT)
def test_a_mistake_is_put_right_by_exactly_these_changes(name: str) -> None:
    proposal = proposed(path_of(name))
    assert acts(proposal) == PUT_RIGHT[name]
    assert about(name) in {finding.rule for step in proposal.steps for finding in step.findings}
    assert about(name) not in {left.finding.rule for left in proposal.left}
    assert not proposal.bounded


@pytest.mark.parametrize("name", PUT_RIGHT)
def test_the_changed_file_is_nowhere_worse(name: str) -> None:
    path = path_of(name)
    proposal = proposed(path)
    before, now = situation_of(proposal.before, path), situation_of(proposal.data, path)
    moved = {end: start for edit in edits_in(proposal) for start, end in edit.moves().items()}
    assert new_findings(before, replace(now, origin=moved)) == []
    assert now.report == proposal.after


def test_every_rule_is_put_right_somewhere_or_says_what_is_needed() -> None:
    shown = {about(name) for name in PUT_RIGHT}
    assert not shown & NEVER and not shown & SELDOM and not NEVER & SELDOM
    assert shown | NEVER | SELDOM == {rule.id for rule in all_rules()}


def test_a_rule_is_repairable_exactly_if_a_repair_names_it() -> None:
    assert {rule.id for rule in all_rules() if not repairs_of(rule.slug)} == NEVER


def test_a_rule_that_no_change_helps_says_what_is_needed() -> None:
    needed = beyond()
    assert set(needed) <= {rule.slug for rule in all_rules()}
    assert all(needed.get(rule.slug) for rule in all_rules() if rule.id in NEVER | SELDOM)


def test_every_repair_names_rules_that_exist() -> None:
    slugs = {rule.slug for rule in all_rules()}
    assert {slug for one in all_repairs() for slug in one.rules} <= slugs


@pytest.mark.parametrize("rule", sorted(NEVER - {"CARE-001", "INT-001"}))
def test_what_no_change_helps_is_left_and_the_reason_is_said(rule: str) -> None:
    slug = next(one.slug for one in all_rules() if one.id == rule)
    for path in sorted((RULES / rule).glob("bad-*.yaml"))[:2]:
        proposal = proposed(path)
        left = [one for one in proposal.left if one.finding.rule == rule]
        assert left and all(beyond()[slug] in one.why for one in left)
