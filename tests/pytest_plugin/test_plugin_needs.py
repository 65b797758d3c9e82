"""The marker `needs`: what is fitted by the table of options of the profiles and by the devices of the loadout."""

from __future__ import annotations

import pytest
from plugin_rig import copy_kittiwake, outcome_of

from minisim.cpu.profile import available, named

BARE = (
    '@pytest.mark.bare(profile="{profile}", options={options})\n@pytest.mark.needs({needs})\ndef test_it(machine): pass'
)


def outcome(pytester: pytest.Pytester, source: str, *options: str) -> tuple[dict[str, int], str]:
    result = outcome_of(pytester, f"import pytest\n{source}", "-rs", "--strict-markers", *options)
    return result.parseoutcomes(), result.stdout.str()


def test_what_is_standard_in_the_profile_counts_as_fitted(pytester: pytest.Pytester) -> None:
    """By the catalogue's own words, which its tests hold against the published table."""
    options = available(named("late-ttl-commercial"))
    standard = sorted(name for name, word in options.items() if word == "standard")
    optional = sorted(name for name, word in options.items() if word == "option")
    assert standard and optional
    words = ", ".join(map(repr, standard))
    found, _ = outcome(pytester, BARE.format(profile="late-ttl-commercial", options=[], needs=words))
    assert found == {"passed": 1}
    for name in optional:
        without, told = outcome(pytester, BARE.format(profile="late-ttl-commercial", options=[], needs=repr(name)))
        assert without == {"skipped": 1} and f"needs {name}: not fitted in bare late-ttl-commercial" in told
        found, _ = outcome(pytester, BARE.format(profile="late-ttl-commercial", options=[name], needs=repr(name)))
        assert found == {"passed": 1}


def test_several_needs_name_what_is_lacking(pytester: pytest.Pytester) -> None:
    needs = '"eis", "fpp", device=["line-clock", "serial-line"]'
    found, told = outcome(pytester, BARE.format(profile="chipset-one-level", options=["eis"], needs=needs))
    assert found == {"skipped": 1}
    assert "needs fpp, line-clock, serial-line: not fitted in bare chipset-one-level" in told


def test_devices_are_those_of_the_loadout(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "gauge.yaml")
    source = """
@pytest.mark.needs(device="line-clock")
def test_there(): pass

@pytest.mark.needs(device="line-printer")
def test_not_there(): raise AssertionError("it must not run")
"""
    found, told = outcome(pytester, source, "--minisim-loadout", "gauge.yaml")
    assert found == {"passed": 1, "skipped": 1}
    assert "needs line-printer: not fitted in Tide gauge logger" in told


def test_needs_of_module_and_test_count_together(pytester: pytest.Pytester) -> None:
    source = "pytestmark = pytest.mark.needs('fpp')\n" + BARE.format(
        profile="chipset-one-level", options=[], needs="'eis'"
    )  # fmt: skip
    found, told = outcome(pytester, source)
    assert found == {"skipped": 1} and "needs eis, fpp: not fitted" in told


@pytest.mark.parametrize(
    ("needs", "said"),
    [
        ('"fppp"', "needs: there is no module 'fppp'; did you mean \"fpp\"? (modules: base,"),
        ('device="line-clok"', "needs: there is no device 'line-clok'; did you mean \"line-clock\"? (devices:"),
        ("", 'the marker is needs("fpp", "mmu", device="line-clock")'),
        ('"fpp", devices="x"', 'the marker is needs("fpp", "mmu", device="line-clock")'),
        ("5", "needs: there is no module 5 (modules: base,"),
    ],
)
def test_a_word_that_nobody_knows_is_an_error(pytester: pytest.Pytester, needs: str, said: str) -> None:
    found, told = outcome(pytester, BARE.format(profile="chipset-one-level", options=[], needs=needs))
    assert found == {"errors": 1}
    assert said in told and "testing/" not in told


def test_needs_without_a_machine_says_what_to_give(pytester: pytest.Pytester) -> None:
    found, told = outcome(pytester, "@pytest.mark.needs('fpp')\ndef test_it(): pass")
    assert found == {"errors": 1} and "--minisim-loadout FILE" in told
