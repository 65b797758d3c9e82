"""Waiting for text, addresses, accesses and ends; programs laid in and called; what is said when it goes wrong."""

from __future__ import annotations

import pytest
from plugin_rig import copy_kittiwake, lines_of, outcome_of

PROGRAM = r'''
SOURCE = """
        . = 1000
start:  mov     #1000,sp
        inc     count
        mov     #text,r1
1$:     movb    (r1)+,r0
        beq     done
        jsr     pc,print
        br      1$
done:   halt
        wait
        br      .
print:  tstb    @#177564
        bpl     print
        movb    r0,@#177566
        rts     pc
text:   .asciz  /tide: 4.43 m, tide: 0.35 m/<15><12>
        .even
count:  .word   0
"""
import pytest
import minisim
pytestmark = pytest.mark.loadout("desk.yaml")
'''


def run(pytester: pytest.Pytester, body: str, *options: str) -> pytest.RunResult:
    copy_kittiwake(pytester.path, "desk.yaml")
    indented = "\n".join(f"    {line}" for line in body.strip().splitlines())
    source = f"def test_it(machine, console, run_until, load, call):\n    program = load(SOURCE)\n{indented}"
    return outcome_of(pytester, f"{PROGRAM}\n{source}", *options)


def passes(pytester: pytest.Pytester, body: str) -> None:
    run(pytester, body).assert_outcomes(passed=1)


def failure(pytester: pytest.Pytester, body: str, *options: str) -> list[str]:
    result = run(pytester, body, *options)
    result.assert_outcomes(failed=1)
    assert "testing/" not in result.stdout.str()  # none of our own lines in the traceback
    return lines_of(result)


def test_expect_goes_on_behind_what_it_found(pytester: pytest.Pytester) -> None:
    passes(
        pytester,
        r"""
assert console.expect("tide:") == "tide:"
assert console.expect("tide:") == " 4.43 m, tide:"
run_until("halted")
assert console.unread == " 0.35 m\r\n"
ran = machine.instructions
assert console.expect("m") == " 0.35 m"      # printed before it was asked for
assert machine.instructions == ran
assert console.text == "tide: 4.43 m, tide: 0.35 m\r\n"
assert console.text.lines == ["tide: 4.43 m, tide: 0.35 m", ""]
assert console.take() == b"tide: 4.43 m, tide: 0.35 m\r\n" and console.take() == b""
""",
    )


def test_a_text_that_was_begun_before_the_wait_counts(pytester: pytest.Pytester) -> None:
    passes(
        pytester,
        """
machine.run(until=minisim.Text("4.4"))
assert console.expect("4.43 m") == "tide: 4.43 m"
""",
    )


def test_a_wait_ends_at_the_very_instruction(pytester: pytest.Pytester) -> None:
    """The machine stops where `Machine.run` with the same condition does."""
    passes(
        pytester,
        """
twin = minisim.build(minisim.read_loadout("desk.yaml"))
for block in program.program.blocks:
    twin.memory[block.address:block.address + len(block.data)] = block.data
twin.cpu.pc = program["start"]
twin.run(until=minisim.Text("0.35"))
run_until(text="0.35")
assert machine.state_hash() == twin.state_hash()
twin.close()
""",
    )


def test_addresses_accesses_and_ends_are_waited_for(pytester: pytest.Pytester) -> None:
    passes(
        pytester,
        """
assert run_until(access="count").at == program["start"] + 4
assert machine.memory.word(program["COUNT"]) == 1
assert run_until(address="print").pc == program["print"] == machine.cpu.pc
assert run_until(access=minisim.Access(0o177566, read=False)).reason == "REACHED"
assert run_until("halted", text="nothing of the kind").reason == "HALTED"
assert machine.cpu.pc == program["done"] + 2
machine.cpu.ps = 0o340
assert run_until("waiting", address=0o60000).reason in ("WAITING", "STUCK")
""",
    )


def test_a_text_that_does_not_come_says_where_the_machine_stands(pytester: pytest.Pytester) -> None:
    told = failure(pytester, 'console.expect("high water")')
    assert told[0].startswith("Failed: waited for the text 'high water', but: main/a/1AB: the instruction at 001026 ")
    assert "halted the processor after " in told[0] and told[0].endswith("next would be 001030")
    assert told[1:3] == ["printed last:", r"'tide: 4.43 m, tide: 0.35 m\r\n'"]
    assert told[3] == "registers:"
    assert "R4 000000  R5 000000  SP 001000  PC 001030" in told
    assert "001024          br      1$" in told
    assert "last  001026  done:   halt" in told
    assert "next  001030          wait" in told


def test_a_limit_that_runs_out_is_told(pytester: pytest.Pytester) -> None:
    told = failure(pytester, "run_until(address=0o60000, limit=5)")
    assert told[0].startswith("Failed: waited for address 060000, but: main/a/1AB: not finished after 5 instructions, ")


def test_the_ini_file_limits_all_waits(pytester: pytest.Pytester) -> None:
    told = failure(pytester, "run_until(address=0o60000)", "-o", "minisim_limit=7")
    assert "not finished after 7 instructions" in told[0]


def test_machine_time_is_limited_too(pytester: pytest.Pytester) -> None:
    """A program that waits for each pulse of the line clock runs hardly any instruction for hours."""
    body = """
load('''
        . = 100
        .word   tick, 0
        . = 2000
start:  mov     #1000,sp
        mov     #100,@#177546
1$:     wait
        br      1$
tick:   rti
''')
machine.cpu.ps = 0
with pytest.raises(pytest.fail.Exception, match="^waited for the text 'tide:', but: 5 s of machine time passed, "):
    run_until(text="tide:", seconds=5)
assert 5e9 <= machine.time_ns < 5.1e9
"""
    passes(pytester, body)


REFUSED = [
    ("run_until()", "run_until wants something to wait for"),
    ("run_until('tide:')", "a run ends halted, waiting, stuck, not 'tide:'; a text is text=..."),
    ("run_until(address='prnt')", 'no symbol "prnt"; did you mean "print"?'),
    ("run_until(text='Höhe')", "a console prints ASCII, which 'Höhe' is not"),
    ("console.expect('')", "a text to wait for has 1 to 256 characters"),
    ("call('prnt')", 'no symbol "prnt"; did you mean "print"?'),
    ("call('print', r7=1)", "a call takes r0 to r5, on_stack, stack, ps and limit, not 'r7'"),
    ("call('print', r0=0o200000)", "a word is -100000 to 177777 octal, not 200000"),
    ("call('print', stack=0o1020)", "a call's stack below 001020 would lie in the program; stack=... moves it"),
    ("call('print', stack=0o150000)", "a call's stack needs memory below 150000"),
    ("load()", "load wants files, a text of several lines, or a Program"),
    ("load('nowhere.s')", "nowhere.s:1:1: can't be read: No such file or directory"),
    ("load('\\n mvo r0,r1\\n')", 'text:2:2: there is no instruction mvo; did you mean "MOV"?'),
    ("load('\\n . = 150000\\n nop\\n')", "no memory from 150000 to 150002; it ends at 100000"),
]


def test_what_cannot_be_done_says_why(pytester: pytest.Pytester) -> None:
    copy_kittiwake(pytester.path, "desk.yaml")
    source = f"""
import re
REFUSED = {REFUSED!r}

@pytest.mark.parametrize(("body", "said"), REFUSED)
def test_it(machine, console, run_until, load, call, body, said):
    load(SOURCE)
    with pytest.raises(pytest.fail.Exception, match=re.escape(said)):
        exec(body)
"""
    outcome_of(pytester, PROGRAM + source).assert_outcomes(passed=len(REFUSED))


def test_what_cannot_be_done_points_at_the_line_of_the_test(pytester: pytest.Pytester) -> None:
    result = run(pytester, "call('prnt')")
    result.assert_outcomes(failed=1)
    assert "testing/" not in result.stdout.str()
    result.stdout.fnmatch_lines([">       call('prnt')", 'E       Failed: no symbol "prnt"*'])


# ---- calls


def test_a_call_gives_what_the_routine_left(pytester: pytest.Pytester) -> None:
    """A routine with its arguments on the stack; sums and codes by Python's integers."""
    passes(
        pytester,
        """
load('''
        . = 3000
add:    mov     2(sp),r0
        add     4(sp),r0
        rts     pc
swap:   mov     (sp)+,r2
        mov     (sp)+,r0
        mov     (sp)+,r1
        jmp     (r2)
''')
for one, two in [(1, 2), (0o77777, 1), (0o177777, 1), (-5, 3), (0o100000, 0o100000)]:
    left = call("add", on_stack=[one, two])
    total = (one & 0xFFFF) + (two & 0xFFFF)
    signed = [value - 0x10000 if value & 0x8000 else value for value in (one & 0xFFFF, two & 0xFFFF)]
    assert left.r0 == total & 0xFFFF
    assert (left.codes.n, left.codes.z) == (bool(total & 0x8000), total & 0xFFFF == 0)
    assert (left.codes.c, left.codes.v) == (total > 0xFFFF, not -0x8000 <= sum(signed) <= 0x7FFF)
    assert left.instructions == 3 and left.time_ns > 0
    assert left.sp == 0o776 - 4
assert call("swap", on_stack=[1, 2]).r[:2] == [1, 2]     # it takes its arguments away
assert call("add", on_stack=[1, 2], stack=0o2000, ps=0o340).ps & 0o340 == 0o340
assert machine.cpu.sp == 0o1772
""",
    )


def test_a_routine_that_does_not_come_back_is_told(pytester: pytest.Pytester) -> None:
    assert failure(pytester, "call('done')")[0].startswith(
        "Failed: done did not come back: main/a/1AB: the instruction"
    )


def test_a_stack_that_is_off_is_told(pytester: pytest.Pytester) -> None:
    body = "load('\\n . = 3000\\noff: mov (sp)+,r0\\n tst -(sp)\\n tst -(sp)\\n jmp (r0)\\n')\ncall('off')"
    assert "off came back with SP 000772 instead of 000776" in failure(pytester, body)[0]


def test_files_beside_the_test_are_laid_in_as_one_program(pytester: pytest.Pytester) -> None:
    (pytester.path / "one.s").write_text("        . = 3000\nfirst:  jsr pc,second\n        rts pc\n", "utf-8")
    (pytester.path / "two.s").write_text("second: mov #5,r0\n        rts pc\n", "utf-8")
    passes(
        pytester,
        'both = load("one.s", "two.s")\nassert call(both["first"]).r0 == 5 and sorted(both) == ["first", "second"]',
    )


def test_a_program_is_laid_in_as_it_is(pytester: pytest.Pytester) -> None:
    passes(pytester, 'load(minisim.assemble(" . = 3000\\nstart: nop\\n"))\nassert machine.cpu.pc == 0o3000')


def test_a_failed_test_shows_where_its_machine_stands(pytester: pytest.Pytester) -> None:
    result = run(pytester, "run_until('halted')\nassert 0")
    result.assert_outcomes(failed=1)
    result.stdout.fnmatch_lines(["*- the machine -*", "printed last:", "registers:", "instructions:", "last *"])


def test_a_machine_that_never_ran_is_not_shown(pytester: pytest.Pytester) -> None:
    assert "- the machine -" not in run(pytester, "assert 0").stdout.str()
