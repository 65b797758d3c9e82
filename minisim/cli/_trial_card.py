"""`minisim trial card`: one trial as a card to key in, and its rehearsal on the emulated machine."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from minisim.cli._help import MEDIA_ROOT

if TYPE_CHECKING:
    from minisim.loadout.model import Loadout
    from minisim.trials.running.bench import Bench
    from minisim.trials.toggling.choose import On
    from minisim.trials.toggling.paper import Hands

EXIT = """Exit code: 0 the card is printed, or with --rehearse all words were right and the machine did what the card
says; 1 the rehearsal ended with a wrong word or another end; 2 there is no such trial, it can't be keyed in, or the
input can't be used; 130 interrupted."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Operand and options."""
    parser.epilog = EXIT
    trial = (
        "a case (table/row), a table, a file of cases, the path of your own file of cases, or a program of ours: "
        "of several cases the smallest that fails on the machine named, else the smallest"
    )
    rehearse = (
        "key the card into the emulated machine of this loadout: lines of its front panel, or keys of its octal "
        "console, come from the input; every word is compared with the card"
    )
    parser.add_argument("trial", metavar="TRIAL", help=trial)
    parser.add_argument("--loadout", metavar="FILE", help="the machine the card is for")
    parser.add_argument("--profile", metavar="P", help="or only its processor profile, with all it can have")
    parser.add_argument("--rehearse", metavar="LOADOUT", help=rehearse)
    parser.add_argument("--allow", choices=("fault",), action="append", default=[],
                        help="build the machine although findings are faults; damage is never allowed")  # fmt: skip
    parser.add_argument("--media-root", metavar="FOLDER", help=MEDIA_ROOT)
    parser.set_defaults(core="fast")


def run(arguments: argparse.Namespace) -> int:
    """Choose the case, print its card, or rehearse it."""
    from minisim.compare.select import SelectionError
    from minisim.problems import printable
    from minisim.trials.toggling.choose import chosen_card
    from minisim.trials.toggling.paper import card_text

    named = [word for word in (arguments.loadout, arguments.profile, arguments.rehearse) if word is not None]
    if len(named) > 1:
        return _told("name the machine once: --loadout, --profile or --rehearse")
    file = arguments.rehearse or arguments.loadout
    bench = None if file is None else _bench(file, arguments)
    if file is not None and bench is None:
        return 2
    try:
        on, hands = _machine(bench, arguments.profile)
        chosen = chosen_card(arguments.trial, on)
    except SelectionError as error:
        return _told(printable(str(error)))
    print(card_text(chosen, hands), end="", flush=True)
    if arguments.rehearse is None or bench is None:
        return 0
    from minisim.cli._rehearse import rehearse

    return rehearse(bench, chosen.card, hands)


def _told(message: str) -> int:
    print(f"minisim trial card: {message}", file=sys.stderr)
    return 2


def _bench(file: str, arguments: argparse.Namespace) -> Bench | None:
    from minisim.cli._trial_run import built
    from minisim.loadout.reader import read_loadout

    loadout: Loadout = read_loadout(file, media_root=arguments.media_root)
    return built(loadout, arguments)


def _machine(bench: Bench | None, profile: str | None) -> tuple[On | None, Hands]:
    """The processor the card is for, and its console."""
    from minisim.catalogue.reader import Catalogue
    from minisim.compare.select import chosen_profiles
    from minisim.trials.toggling.choose import On
    from minisim.trials.toggling.paper import Hands

    catalogue = Catalogue()
    if bench is not None:
        with bench.machine() as machine:
            name = machine.name or machine.profile
            hands = Hands(machine.console_kind, machine.address_bits, name)
            return On(catalogue.profile(machine.profile), machine.layout.options), hands
    if profile is None:
        return None, Hands()
    import minisim

    chosen = chosen_profiles([profile], catalogue)[0]
    with minisim.bare(chosen) as machine:
        return On(catalogue.profile(chosen)), Hands(machine.console_kind, machine.address_bits, chosen)
