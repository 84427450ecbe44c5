"""The bundled appliance files: all readable, each different, and the format as documented."""

import os
from pathlib import Path

import pytest

from lessonlib import appliance_names, load_appliance
from lessonlib.appliance.bundled import appliance_files
from lessonlib.appliance.parts import Element, Lamp
from lessonlib.errors import ApplianceError, ApplianceNotFound

NAMES = appliance_names()


def test_every_bundled_appliance_has_a_purpose_and_ratings_of_its_own():
    assert len(NAMES) >= 11  # one for each wiring that the lessons need
    every = [load_appliance(name) for name in NAMES]
    assert all(appliance.title and appliance.purpose for appliance in every)
    ratings = {tuple(sorted(part.power_W for part in each.elements)) for each in every}
    assert len(ratings - {()}) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_marked_powers_are_at_the_supply_voltage_of_the_file(name):
    appliance = load_appliance(name)
    for part in appliance.parts:
        if isinstance(part, Element | Lamp):
            assert part.voltage_V == appliance.supply.voltage_V
            # Ohm's law and P = V^2 / R; 1e-12 is rounding only
            assert part.resistance_ohm == pytest.approx(part.voltage_V**2 / part.power_W, rel=1e-12)


def test_a_name_that_does_not_exist_gets_the_nearest_one_and_the_list():
    with pytest.raises(ApplianceNotFound, match=r'Did you mean "tea-urn"\?.*wax-melter') as caught:
        load_appliance("tea-urm")
    assert isinstance(caught.value, FileNotFoundError)


@pytest.mark.parametrize(
    "name",
    [
        *("", "x" * 5000, "a\0b", "../tea-urn", "no/such/file.toml"),
        # no file can have this path
        *("a" * 300 + ".toml", "a/" * 3000 + "b.toml", "a\0b.toml", "\ud800.toml"),
        Path("a" * 300 + ".toml"),
        *(5, None, b"tea-urn", ["tea-urn"], Path),
    ],
)
def test_whatever_is_no_name_of_an_appliance_is_not_found(name):
    with pytest.raises(ApplianceNotFound, match="Accepted: a path"):
        load_appliance(name)


@pytest.mark.parametrize("own", [False, True])
@pytest.mark.parametrize(
    ("make", "found"),
    [
        (Path.mkdir, "a folder, not a file"),
        (lambda path: os.mkfifo(path), "a pipe or a device, not a file"),
        (lambda path: path.write_bytes(b"#" * 300_000), "a file of 300,000 bytes, more than the"),
        (lambda path: path.symlink_to(os.devnull), "a pipe or a device, not a file"),
    ],
)
def test_anything_but_an_appliance_file_is_refused_without_waiting(
    tmp_path, monkeypatch, make, found, own
):
    monkeypatch.chdir(tmp_path)
    Path("appliances").mkdir()
    make(Path("appliances/tea-urn.toml"))
    with pytest.raises(ApplianceError, match=found):
        load_appliance("tea-urn" if own else "appliances/tea-urn.toml")


def test_a_folder_without_permission_is_reported(monkeypatch):
    def forbidden(*_):
        raise PermissionError(13, "Permission denied", "mine.toml")

    monkeypatch.setattr("lessonlib.appliance.reader.read_regular", forbidden)
    with pytest.raises(ApplianceError, match="found:    Permission denied"):
        load_appliance("mine.toml")


def test_a_path_to_a_file_is_read(tmp_path):
    copy = tmp_path / "mine.toml"
    copy.write_bytes(appliance_files()["tea-urn"].read_bytes())
    assert load_appliance(copy) == load_appliance("tea-urn")
    assert load_appliance(str(copy)).source == str(copy)


@pytest.mark.parametrize("name", ["tea-urn", "my glue-pot"])
def test_a_trainees_own_file_comes_before_the_bundled_one(tmp_path, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    own = tmp_path / "appliances" / f"{name}.toml"
    own.parent.mkdir()
    text = appliance_files()["tea-urn"].read_text(encoding="utf-8")
    own.write_text(text.replace("Six-litre", "My"), encoding="utf-8")
    assert load_appliance(name).title == "My tea urn"
