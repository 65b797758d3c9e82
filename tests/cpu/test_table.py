"""The instruction table: every first word has one owner or is reserved, on every profile."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from code_table import owned, table

import minisim
from minisim import cpu
from minisim.catalogue.reader import Catalogue
from minisim.cpu.profile import ProfileError, configuration, fitted, flags, named, timing
from minisim.cpu.table import WORDS, Decoder, forms, modules

PROFILES = Catalogue().ids("profiles")
WORD_OF_MODULE = dict.fromkeys(("sob", "mark", "sxt", "xor", "rtt"), "later-base")


def built_modules() -> set[str]:
    """Modules of the published list whose instructions the core has."""
    have = {record.module for record in cpu.records()}
    return {code.module for code in table() if WORD_OF_MODULE.get(code.module, code.module) in have}


def test_the_published_list_covers_every_word_exactly_once() -> None:
    seen: dict[int, str] = {}
    for code in table():
        for word in code.words:
            assert word not in seen, f"{word:06o} stands in {seen.get(word)} and in {code.codes}"
            seen[word] = code.codes
    assert len(seen) == WORDS


@pytest.mark.parametrize("profile", PROFILES)
def test_as_many_words_are_owned_and_reserved_as_the_published_list_says(profile: str) -> None:
    expected = owned(named(profile), built_modules())
    decoder = Decoder(profile)
    print(f"{profile}: {decoder.owned} owned, {decoder.reserved} reserved")
    assert (decoder.owned, decoder.reserved) == (len(expected), WORDS - len(expected))
    assert {word for word in range(WORDS) if decoder.owner(word) is not None} == expected


@pytest.mark.parametrize("profile", PROFILES)
def test_the_owner_of_a_word_has_the_name_that_the_list_prints(profile: str) -> None:
    decoder = Decoder(profile)
    for code in table():
        if code.name is None or not code.name.isupper():
            continue
        names = code.name.split()  # of a range, a name for each word in order
        for place, word in enumerate(sorted(code.words)):
            owner = decoder.owner(word)
            byte = "B" if code.codes.startswith("*") and word & 0o100000 else ""
            fitting = names[place : place + 1] if len(names) == len(code.words) else names
            assert owner is None or owner.mnemonic in [name + byte for name in fitting], f"{word:06o}"


def test_no_two_records_match_one_word() -> None:
    seen: dict[int, str] = {}
    for record in cpu.records():
        for word in record.words():
            assert word not in seen, f"{word:06o}: {record.mnemonic} and {seen.get(word)}"
            seen[word] = record.mnemonic


@pytest.mark.parametrize(
    ("one", "other", "word"),
    [("01SSDD", "0127DD", 0o012700), ("000400+XX", "000777", 0o000777), ("000240+C", "000257", 0o000257)],
)
def test_patterns_that_share_a_word_are_found(one: str, other: str, word: int) -> None:
    assert cpu.collision(one, other) == word


def test_patterns_that_share_no_word_are_told_apart() -> None:
    assert cpu.collision("01SSDD", "11SSDD") is None
    assert cpu.collision("171aFF", "171AFF") is None  # accumulators: the top bit of the digit differs


@pytest.mark.parametrize("pattern", ["", "012", "9SSSDD", "01SSDX", "000400+YY", "0127001", "777777"])
def test_what_is_no_pattern_is_refused(pattern: str) -> None:
    with pytest.raises(ValueError, match="not a pattern"):
        cpu.collision(pattern, "01SSDD")


def test_a_byte_form_is_a_record_of_its_own() -> None:
    by_name = {record.mnemonic: record for record in cpu.records()}
    assert (by_name["MOV"].pattern, by_name["MOV"].is_byte) == ("01SSDD", False)
    assert (by_name["MOVB"].pattern, by_name["MOVB"].is_byte) == ("11SSDD", True)
    assert (by_name["SUB"].pattern, by_name["SUB"].is_byte) == ("16SSDD", False)
    assert by_name["MFPS"].is_byte


def test_every_record_is_complete_and_names_a_source_of_the_bibliography() -> None:
    bibliography = yaml.load((Path(minisim.__file__).parent / "sources.yaml").read_text("utf-8"), yaml.CBaseLoader)
    for record in cpu.records():
        assert record.source in bibliography, record
        assert len(record.codes) == 4 and set(record.codes) <= set("*-01"), record
        assert record.module in modules() and record.form in forms()
        assert record.value & ~record.mask == 0


def test_a_second_name_is_a_word_of_its_owner() -> None:
    by_name = {record.mnemonic: record for record in cpu.records()}
    second = {alias.mnemonic: alias for alias in cpu.aliases()}
    assert second["BHIS"].value == by_name["BCC"].value and second["BHIS"].operands == "B"
    assert second["NOP"].value == 0o000240 and second["SCC"].value == 0o000277
    for alias in second.values():
        assert by_name[alias.of].owns(alias.value)


@pytest.mark.parametrize(
    ("word", "cycles"),
    [
        (0o010001, 0),  # MOV R0,R1
        (0o012701, 1),  # MOV #n,R1: the word that follows
        (0o011112, 2),  # MOV (R1),(R2)
        (0o016767, 4),  # MOV a,b: two index words, a read, a write
        (0o063737, 5),  # ADD @#a,@#b: two address words, a read, a read and a write
        (0o005377, 4),  # DEC @a: index word, address, a read and a write
        (0o004767, 2),  # JSR PC,a: index word, push
        (0o000117, 0),  # JMP (PC)
        (0o000002, 2),  # RTI
        (0o104000, 4),  # EMT: vector, two pushes
        (0o007000, 4),  # reserved: the same
    ],
)
def test_memory_cycles_beyond_the_fetch_follow_form_and_modes(word: int, cycles: int) -> None:
    assert Decoder("late-ttl-commercial").cycles(word) == cycles


def test_a_word_of_more_than_16_bits_has_no_owner_to_ask_for() -> None:
    with pytest.raises(ValueError, match="16 bits"):
        Decoder("late-ttl-commercial").owner(WORDS)


# --- profiles ---


def test_the_core_knows_every_row_and_every_word_of_the_catalogue_and_no_others() -> None:
    rows = Catalogue().rows()
    known = {flag.row: flag for flag in flags()}
    assert [row.id for row in rows] == list(known) and len(rows) == 53
    for row in rows:
        flag = known[row.id]
        assert flag.name == row.flag
        assert tuple(row.values) == (("yes", "no") if flag.is_facts else flag.words), row.id


def test_the_facts_of_a_row_of_several_are_those_that_the_profiles_hold() -> None:
    for flag in (flag for flag in flags() if flag.is_facts):
        held = {tuple(model) for profile in PROFILES if not isinstance(model := named(profile).model(flag.name), str)}
        assert held == {flag.words}


@pytest.mark.parametrize("profile", PROFILES)
def test_every_profile_loads_and_sets_every_row(profile: str) -> None:
    chosen = configuration(profile)
    assert chosen.profile == profile
    for flag in flags():
        model, value = named(profile).model(flag.name), getattr(chosen_raw(chosen), flag.name)
        if model == "not_applicable":
            assert value == 0
        elif flag.is_facts:
            assert value == sum(1 << bit for bit, fact in enumerate(flag.words) if model[fact] == "yes")
        else:
            assert flag.words[value - 1] == model


class _Bytes:
    """The flags of a core profile by name; they are its first bytes, in the order of the rows."""

    def __init__(self, data: bytes) -> None:
        self.data = data

    def __getattr__(self, name: str) -> int:
        return self.data[[flag.name for flag in flags()].index(name)]


def chosen_raw(chosen: object) -> _Bytes:
    from minisim.cpu._core import ffi

    return _Bytes(bytes(ffi.buffer(chosen.raw)))


def test_seventeen_profiles_exist() -> None:
    assert len(PROFILES) == 17


def test_an_unknown_value_takes_what_the_model_says() -> None:
    profile = named("cached-mid-writable-store")  # D24 is unknown there, the model takes fixed_400
    assert not profile.flags["stack_limit"].documented
    assert flags()[23].words[chosen_raw(configuration(profile)).stack_limit - 1] == "fixed_400"


def test_options_are_the_standard_ones_and_those_named() -> None:
    profile = named("late-ttl-commercial")
    assert fitted(profile) == {"eis", "fpp", "cis", "mmu", "map"}
    assert fitted(profile, []) == {"eis", "mmu", "map"}
    assert fitted(profile, ["fpp", "eis"]) == {"eis", "mmu", "map", "fpp"}


def test_an_impossible_option_is_refused_with_what_is_possible() -> None:
    with pytest.raises(ProfileError, match=r"late-ttl-commercial can't have option 'fis'.*cis, eis, fpp, map, mmu"):
        fitted(named("late-ttl-commercial"), ["fis"])
    with pytest.raises(ProfileError, match='did you mean "fpp"'):
        fitted(named("late-ttl-commercial"), ["fppp"])


def test_an_unknown_profile_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(ProfileError, match='did you mean "first-hardwired"'):
        named("first-hardwire")


def test_time_comes_from_the_cycle_table_else_the_average_else_is_assumed() -> None:
    names = ("chipset-four-level", "one-board-ttl-basic", "late-ttl-commercial")
    table_, average, assumed = (timing(named(name)) for name in names)
    assert (table_.base_ns, table_.cycle_ns, table_.assumed) == (1700, 1200, False)  # [wiki-chipset-four-level]
    assert (average.base_ns, average.cycle_ns, average.assumed) == (4043, 0, False)  # [tradeoffs-1978]
    assert (assumed.base_ns, assumed.assumed) == (3000, True)
