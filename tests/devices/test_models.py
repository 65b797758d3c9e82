"""What holds for every device model."""

import pytest
import yaml

from minisim.devices._device import Placement, known_devices, model_of, sources

from .workbench import Workbench

EVIDENCE = {"unconfirmed"}


@pytest.mark.parametrize("device", known_devices())
def test_a_model_says_what_it_is_and_what_it_is_not(device: str) -> None:
    model = model_of(device)
    assert model is not None
    assert model.__doc__
    assert model.NOT_MODELLED
    assert all(sentence.endswith(".") for sentence in model.NOT_MODELLED)


@pytest.mark.parametrize("device", known_devices())
def test_every_register_and_field_names_a_known_source(device: str) -> None:
    from pathlib import Path

    known = yaml.load((Path(__file__).parents[2] / "minisim" / "sources.yaml").read_text("utf-8"), yaml.CSafeLoader)
    keys = set(known.get("sources", known)) | EVIDENCE
    model = model_of(device)
    assert model is not None
    for built in model.build(Placement(device, windows=((0o13000, 256),))):
        assert set(sources(built)) <= keys


@pytest.mark.parametrize("device", known_devices())
def test_no_two_fields_of_a_register_share_a_bit(device: str) -> None:
    model = model_of(device)
    assert model is not None
    for built in model.build(Placement(device)):
        for register in built.registers:
            assert sum(f.mask for f in register.fields) <= 0o177777
            for number, one in enumerate(register.fields):
                assert all(not one.mask & other.mask for other in register.fields[number + 1 :])


@pytest.mark.parametrize("device", known_devices())
def test_every_model_fits_into_a_machine(device: str) -> None:
    bench = Workbench(Placement(device, windows=((0o13000, 256),)))
    bench.initialise()
    bench.wait(100_000_000)
    assert device in (bench.machine.layout.devices[0].id, bench.machine.layout.devices[0].controller)


def test_an_unknown_device_has_no_model() -> None:
    assert model_of("no-such-device") is None
    assert model_of("_device") is None
