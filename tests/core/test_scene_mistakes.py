"""One test for each kind of mistake in a scene file: where, what, what to do, on which line."""

from pathlib import Path

import pytest

from heatcore.errors import InputError, Mistake
from heatcore.scene import parse_scene, read_scene
from tests.core.scene_texts import MINIMAL, SCENE, TYPES, changed, line_of, make_folder, mistakes


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return make_folder(tmp_path)


def one(old: str, new: str, folder: Path) -> Mistake:
    """The one mistake that a change to the scene makes; its line is that of the change."""
    text = changed(old, new)
    (mistake,) = mistakes(text, folder)
    return mistake


# Each row: what stands in the scene, what is put there, then where it is wrong, what is said and
# what the remedy names.
VALUES = {
    "a bare number": (
        'height = "4 ft"', "height = 1.2",
        'wall "side wall".height', "1.2 has no unit", '"2.4 m" or "7\' 10"',
    ),
    "text that is no length": (
        'height = "4 ft"', 'height = "4 fot"',
        'wall "side wall".height', '"4 fot" is not a length', "7' 6 3/8\"",
    ),
    "a table for a length": (
        'height = "4 ft"', "height = { feet = 4 }",
        'wall "side wall".height', "is a table, not a length", '"2.4 m"',
    ),
    "a date for a length": (
        'height = "4 ft"', "height = 1979-05-27",
        'wall "side wall".height', "is a date or a time, not a length", '"2.4 m"',
    ),
    "true for a length": (
        'height = "4 ft"', "height = true",
        'wall "side wall".height', "is true or false, not a length", '"2.4 m"',
    ),
    "a negative size": (
        'width = "36 in"', 'width = "-36 in"',
        'door "back door".width', '"-36 in" is too small', "more than 0",
    ),
    "an absurd size": (
        'underside = "7\' 9"', 'underside = "7.9e9 m"',
        'beam "front beam".underside', '"7.9e9 m" is too large', "at most 100 m",
    ),
    "metres for millimetres": (
        'width = "36 in"', 'width = "900 m"',
        'door "back door".width', '"900 m" is too large', "is the unit right?",
    ),
    "a place beyond the horizon": (
        'at = ["15 ft", "4 ft"]', 'at = ["15 ft", "4e9 ft"]',
        'seat "S1".at[2]', '"4e9 ft" is too large', "at most 10000 m",
    ),
    "a length that no float can hold": (
        'height = "4 ft"', "height = 1" + "0" * 400,
        'wall "side wall".height', "is not a length", '"2.4 m"',
    ),
    "a share that no float can hold": (
        'humidity = "60 %"', "humidity = 1" + "0" * 400,
        "site.climate.humidity", "is too large", "0.6",
    ),
    "a count that no float can hold": (
        "chairs = 4", "chairs = 1" + "0" * 400,
        'furniture "table".chairs', "is not a whole number that can be used", "whole number",
    ),
    "not a number": (
        'height = "4 ft"', "height = nan",
        'wall "side wall".height', "is not a length", '"2.4 m"',
    ),
    "infinity": (
        'height = "4 ft"', "height = inf",
        'wall "side wall".height', "is not a length", '"2.4 m"',
    ),
    "infinity in text": (
        'height = "4 ft"', 'height = "inf m"',
        'wall "side wall".height', '"inf m" is not a length', "2.3 m",
    ),
    "an angle without a unit": (
        'tilt = "20 deg"', "tilt = 20",
        'heater "H2".tilt', "20 has no unit", '"90 deg"',
    ),
    "a share beyond one": (
        'humidity = "60 %"', "humidity = 60",
        "site.climate.humidity", "60 is too large", "at most 1",
    ),
    "a swing of no angle": (
        'swing = "out"', 'swing_angle = "0 deg"',
        'door "back door".swing_angle', '"0 deg" is too small', "more than 0",
    ),
    "a negative count": (
        "chairs = 4", "chairs = -4",
        'furniture "table".chairs', "-4 is too small", "at least 0",
    ),
    "half a chair": (
        "chairs = 4", "chairs = 4.5",
        'furniture "table".chairs', "is a number, not a whole number", "without quotes",
    ),
    "a count in quotes": (
        "chairs = 4", 'chairs = "4"',
        'furniture "table".chairs', "is text, not a whole number", "without quotes",
    ),
    "text for true or false": (
        "combustible = true", 'combustible = "yes"',
        'furniture "table".combustible', "is text", "write true or false",
    ),
    "a misspelt choice": (
        '"gable"', '"gabel"',
        'roof "porch roof".form', 'there is no "gabel" here', 'did you mean "gable"?',
    ),
    "a choice that is like none": (
        '"gable"', '"dome of glass"',
        'roof "porch roof".form', 'there is no "dome of glass" here', "choose from flat, ",
    ),
    "a misspelt key": (
        'swing = "out"', 'swnig = "out"',
        'door "back door".swnig', "is no key of a door", 'did you mean "swing"?',
    ),
    "a misspelt key that must be there": (
        'underside = "7\' 9"', 'undreside = "7\' 9"',
        'beam "front beam".undreside', "is no key of a beam", 'did you mean "underside"?',
    ),
    "a key that is like none": (
        'swing = "out"', 'zzz = "out"',
        'door "back door".zzz', "is no key of a door", "it takes name, wall, at",
    ),
    "a missing key": (
        'underside = "7\' 9"\n', "",
        'beam "front beam".underside', "is missing", "height of its underside",
    ),
    "a point with one coordinate": (
        'at = ["15 ft", "4 ft"]', 'at = ["15 ft"]',
        'seat "S1".at', "has 1 entries", "it takes 2",
    ),
    "a length for a point": (
        'at = ["15 ft", "4 ft"]', 'at = "15 ft"',
        'seat "S1".at', "is text, not a list", "square brackets",
    ),
    "a number for a name": (
        'name = "S1"', "name = 3",
        "seat[1].name", "is a number, not text", "in quotes",
    ),
    "an empty name": (
        'name = "S1"', 'name = " "',
        'seat " ".name', '" " cannot be a name', "printable",
    ),
    "a name with a line break": (
        'name = "S1"', 'name = "S\\n1"',
        'seat "S\\n1".name', '"S\\n1" cannot be a name', "one line",
    ),
    "a number to aim at": (
        'aim_at = "table seat 2"', "aim_at = 2",
        'heater "H1".aim_at', "is a number", "a name in quotes, or a list",
    ),
    "text for a table": (
        'offset = { from = "house wall", by = ["5 ft", "6 in"] }', 'offset = "house wall"',
        'heater "H2".offset', "is text, not a table", "{ key = value }",
    ),
}  # fmt: skip

REFERENCES = {
    "a wall that is not there": (
        'wall = "house wall"\nat = "2 ft"', 'wall = "hose wall"\nat = "2 ft"',
        'door "back door".wall', 'refers to "hose wall", and there is no such wall',
        'did you mean "house wall"?',
    ),
    "a roof that is not there": (
        'roof = "porch roof"', 'roof = "attic"',
        'rafters "rafters".roof', 'refers to "attic", and there is no such roof', '"porch roof"',
    ),
    "a carrier that is not there": (
        'mounted_on = "rafters"', 'mounted_on = "rafter"',
        'heater "H1".mounted_on', 'refers to "rafter", and there is no such thing',
        'did you mean "rafters"?',
    ),
    "a carrier of the wrong kind": (
        'mounted_on = "rafters"', 'mounted_on = "P1"',
        'heater "H1".mounted_on', '"P1" is a post', "a roof, rafters, a beam, a wall",
    ),
    "a carrier that does not suit the mount": (
        'mounted_on = "rafters"', 'mounted_on = "house wall"',
        'heater "H1".mounted_on', '"house wall" is a wall, and this is a ceiling mount',
        "name a roof or rafters or a beam or a solid, or change the mount",
    ),
    "a type that is not there": (
        'type = "bar"\nat = ["10 ft", "4 ft"]', 'type = "bra"\nat = ["10 ft", "4 ft"]',
        'heater "H1".type', 'refers to "bra", and there is no such heater type',
        'did you mean "bar"?',
    ),
    "a bracket that is not there": (
        'bracket = "short arm"', 'bracket = "shortarm"',
        'heater "H1".bracket', 'refers to "shortarm", and there is no such bracket type',
        'did you mean "short arm"?',
    ),
    "a bracket for another mount": (
        'bracket = "short arm"', 'bracket = "wall arm"',
        'heater "H1".bracket', '"wall arm" is for a wall mount, and this is a ceiling mount',
        '"short arm"',
    ),
    "a mount that the type does not have": (
        'at = ["15 ft", "10 ft"]', 'at = ["15 ft", "10 ft"]\nmount = "beam"',
        'heater "H3".mount', '"bar" is not made for a beam mount', "ceiling, wall",
    ),
    "an offset from nothing": (
        'from = "house wall", by', 'from = "hose wall", by',
        'heater "H2".offset.from', 'refers to "hose wall", and there is no such thing',
        'did you mean "house wall"?',
    ),
    "an offset from a door": (
        'from = "house wall", by', 'from = "back door", by',
        'heater "H2".offset.from', '"back door" is a door', "a post, a beam, a wall",
    ),
    "an aim at nobody": (
        'aim_at = "table seat 2"', 'aim_at = "gest"',
        'heater "H1".aim_at', 'refers to "gest", and there is no such thing',
        'did you mean "guest"?',
    ),
    "an aim at a chair too many": (
        'aim_at = "table seat 2"', 'aim_at = "table seat 5"',
        'heater "H1".aim_at', 'refers to "table seat 5", and there is no such thing', '"guest"',
    ),
    "an aim at a table": (
        'aim_at = "table seat 2"', 'aim_at = "table"',
        'heater "H1".aim_at', '"table" is furniture', "a seat, a person",
    ),
}  # fmt: skip

FITTING = {
    "a name given twice": (
        'name = "S1"', 'name = "guest"',
        'person "guest".name', 'the name "guest" is already that of seat "guest"', "of its own",
    ),
    "a name that a sofa's seat has": (
        'name = "S1"', 'name = "sofa 2"',
        'seat "sofa 2".name', 'the name "sofa 2" is that of a seat that furniture brings',
        "another name",
    ),
    "both at and offset": (
        'offset = { from = "house wall"', 'at = [0, 0]\noffset = { from = "house wall"',
        'heater "H2".offset', "is given beside at", "one of the two",
    ),
    "neither at nor offset": (
        'at = ["10 ft", "4 ft"]\n', "",
        'heater "H1"', "has neither at nor offset", "give at or offset",
    ),
    "both tilt and aim": (
        'tilt = "20 deg"', 'tilt = "20 deg"\naim_at = "guest"',
        'heater "H2".aim_at', "is given beside tilt", "one of the two",
    ),
    "a wall mount without height": (
        'height = "7\' 3"\n', "",
        'heater "H2".height', "is missing, and a wall mount needs it", "height above the floor",
    ),
    "a wall without length": (
        'to = [0, 0]\nheight = "4 ft"', 'to = [0, "14 ft"]\nheight = "4 ft"',
        'wall "side wall".to', "is the same place as from", "the other end",
    ),
    "a screen below itself": (
        'top = "8 ft"', 'top = "8 ft"\nbottom = "9 ft"',
        'screen "screen".top', "is less than bottom", "at least bottom",
    ),
    "a place far from the floor": (
        'at = ["15 ft", "4 ft"]', 'at = ["4500 m", "4 ft"]',
        'seat "S1".at', "from the floor", "is its unit right?",
    ),
    "a floor of kilometres": (
        '["20 ft", "14 ft"],\n  [0, "14 ft"],', '["6000 m", "4000 m"],\n  [0, "4000 m"],',
        "floor.outline", "across", "is the unit of every corner right?",
    ),
    "a seat too high to sit upright on": (
        'at = ["15 ft", "4 ft"]', 'at = ["15 ft", "4 ft"]\nheight = "32 in"',
        'seat "S1".height', "2' 8\" is too high to sit upright on", 'posture = "perched"',
    ),
    "a seat as high as a roof": (
        'at = ["15 ft", "4 ft"]', 'at = ["15 ft", "4 ft"]\nheight = "20 ft"',
        'seat "S1".height', '"20 ft" is too large', "at most 1.2 m",
    ),
    "a giant": (
        'at = ["17 ft", "7 ft"]', 'at = ["17 ft", "7 ft"]\nstature = "17 ft"',
        'person "guest".stature', '"17 ft" is too large', "at most 2.5 m",
    ),
    "chairs at a sofa": (
        'mesh = "sofa.obj"', "chairs = 2",
        'furniture "sofa".chairs', "does not go with a sofa", "bar, round_table, table",
    ),
    "a door beyond its wall": (
        'at = "2 ft"', 'at = "18 ft"',
        'door "back door"', "ends 21' 0\" along wall \"house wall\", which is 20' 0\" long",
        "by 1' 0\"",
    ),
    "a door higher than its wall": (
        'wall = "house wall"\nat = "2 ft"', 'wall = "side wall"\nat = "2 ft"',
        'door "back door"', "reaches up to 6' 8\", and wall \"side wall\" to 4' 0\"",
        "lower by 2' 8\"",
    ),
    "openings that overlap": (
        'at = "10 ft"', 'at = "4 ft"',
        'window "kitchen window"', 'overlaps door "back door" in the same wall', "by 1' 0\"",
    ),
    "a roof without enough heights": (
        'pitch = "4:12"\n', "",
        'roof "porch roof"', "does not give its heights", "pitch or ridge",
    ),
    "heights that contradict each other": (
        'pitch = "4:12"', 'pitch = "4:12"\nridge = "9 ft"',
        'roof "porch roof".pitch', "but pitch says 4:12", "correct one of the three",
    ),
    "an outline that crosses itself": (
        '["20 ft", "14 ft"],\n  [0, "14 ft"],', '[0, "14 ft"],\n  ["20 ft", "14 ft"],',
        "floor.outline", "its edges cross or touch at x = 10' 0\", y = 7' 0\"", "in order",
    ),
    "an outline of two corners": (
        '  ["20 ft", "14 ft"],\n  [0, "14 ft"],\n', "",
        "floor.outline", "has 2 corners", "[[x, y], [x, y], ...]",
    ),
    "an outline on a line": (
        '["20 ft", "14 ft"],\n  [0, "14 ft"],', '["30 ft", 0],',
        "floor.outline", "has no area", "on one line",
    ),
    "an outline that closes itself": (
        '  [0, "14 ft"],\n', '  [0, "14 ft"],\n  [0, 0],\n',
        "floor.outline[5]", "is the first corner again", "leave it out",
    ),
    "a corner given twice": (
        '  ["20 ft", "14 ft"],\n', '  ["20 ft", "14 ft"],\n  ["20 ft", "14 ft"],\n',
        "floor.outline[4]", "is the same place as corner 3", "leave one of the two out",
    ),
    "a mesh file that is missing": (
        'mesh = "sofa.obj"', 'mesh = "couch.obj"',
        'furniture "sofa".mesh', 'there is no file "couch.obj" in the scene', "put it there",
    ),
}  # fmt: skip

CASES = VALUES | REFERENCES | FITTING


@pytest.mark.parametrize("case", CASES)
def test_each_mistake_is_told_once_with_place_and_remedy(case: str, folder: Path) -> None:
    old, new, where, message, remedy = CASES[case]
    mistake = one(old, new, folder)
    assert mistake.where == where
    assert message in mistake.message
    assert remedy in mistake.remedy


@pytest.mark.parametrize("case", VALUES)
def test_a_wrong_value_has_its_line(case: str, folder: Path) -> None:
    old, new, *_ = VALUES[case]
    line = line_of(SCENE, old) if new else line_of(SCENE, '[[beam]]\nname = "front beam"')
    assert one(old, new, folder).line == line


def test_the_sample_of_the_tests_is_right(folder: Path) -> None:
    assert parse_scene(SCENE, folder).heater


def test_a_tilt_beyond_the_type_is_no_mistake_but_a_finding(folder: Path) -> None:
    assert parse_scene(changed('tilt = "20 deg"', 'tilt = "80 deg"'), folder)


def test_a_window_above_a_door_does_not_overlap_it(folder: Path) -> None:
    text = changed('at = "10 ft"', 'at = "2 ft"\nsill = "7 ft"\nheight = "1 ft"')
    assert parse_scene(text, folder)


def test_an_opening_may_fill_its_wall_exactly(folder: Path) -> None:
    # 24 in + 216 in = 240 in, each rounded by itself to a float of metres.
    assert parse_scene(
        changed('at = "2 ft"\nwidth = "36 in"', 'at = "17 ft"\nwidth = "3 ft"'), folder
    )


def test_many_mistakes_come_in_one_pass_and_in_the_order_of_the_file(folder: Path) -> None:
    text = SCENE
    for old, new, *_ in (
        VALUES["a bare number"], VALUES["a misspelt choice"], REFERENCES["an offset from nothing"],
        VALUES["a negative count"], FITTING["a wall mount without height"],
    ):  # fmt: skip
        text = changed(old, new, text)
    found = mistakes(text, folder)
    assert [mistake.where for mistake in found] == [
        'roof "porch roof".form',
        'wall "side wall".height',
        'furniture "table".chairs',
        'heater "H2".height',
        'heater "H2".offset.from',
    ]
    lines = [mistake.line for mistake in found]
    assert None not in lines
    assert lines == sorted(lines, key=lambda line: line or 0)


def test_two_mistakes_in_one_thing_are_both_told(folder: Path) -> None:
    text = changed('type = "bar"\nat = ["10 ft", "4 ft"]', 'type = "bra"\nat = ["10 ft"]')
    assert [m.where for m in mistakes(text, folder)] == ['heater "H1".type', 'heater "H1".at']


def test_what_a_misspelt_thing_is_called_is_still_known(folder: Path) -> None:
    text = changed('[[wall]]\nname = "house wall"', '[[wall]]\nnmae = "house wall"')
    assert [m.where for m in mistakes(text, folder)] == ["wall[1].nmae"]


def test_a_misspelt_kind_is_one_mistake() -> None:
    (mistake,) = mistakes(MINIMAL + '[[posts]]\nname = "P"\nat = [0, 0]\n')
    assert mistake.where == "posts"
    assert mistake.message == "is no key of a scene"
    assert mistake.remedy == 'did you mean "post"?'


def test_single_brackets_for_one_of_several() -> None:
    (mistake,) = mistakes(MINIMAL + '[post]\nname = "P"\nat = [0, 0]\n')
    assert (mistake.where, mistake.message) == ("post", "is a table, not a list")
    assert "[[post]]" in mistake.remedy
    assert mistake.line == line_of(MINIMAL + "[post]", "[post]")


def test_double_brackets_for_the_only_one() -> None:
    (mistake,) = mistakes(MINIMAL.replace("[floor]", "[[floor]]"))
    assert (mistake.where, mistake.message) == ("floor", "is a list, not a table")
    assert "[floor]" in mistake.remedy


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing yet\n"])
def test_an_empty_file(text: str) -> None:
    (mistake,) = mistakes(text)
    assert mistake.message == "the file is empty"
    assert "[site]" in mistake.remedy


def test_a_scene_without_a_floor() -> None:
    (mistake,) = mistakes('[site]\nname = "Deck"\n')
    assert (mistake.where, mistake.message) == ("floor", "is missing")
    assert "[floor]" in mistake.remedy


def test_a_list_beyond_all_measure() -> None:
    posts = "".join(f'[[post]]\nname = "P{i}"\nat = [0, 0]\n' for i in range(1001))
    (mistake,) = mistakes(MINIMAL + posts)
    assert (mistake.where, mistake.message) == ("post", "has 1001 entries")


@pytest.mark.parametrize(
    "path", ["/etc/hosts", "../sofa.obj", "..\\sofa.obj", "C:\\sofa.obj", "a/../../b"]
)
def test_a_path_leaving_the_folder(folder: Path, path: str) -> None:
    mistake = one('mesh = "sofa.obj"', f"mesh = '{path}'", folder)
    assert mistake.where == 'furniture "sofa".mesh'
    assert "a path leaving the folder" in mistake.message


def test_a_link_leaving_the_folder(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    make_folder(inside)
    (tmp_path / "secret.obj").write_text("o secret\n")
    (inside / "link.obj").symlink_to(tmp_path / "secret.obj")
    mistake = one('mesh = "sofa.obj"', 'mesh = "link.obj"', inside)
    assert "a path leaving the folder" in mistake.message


def test_a_folder_that_is_itself_a_link_is_no_matter(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    make_folder(inside)
    (tmp_path / "link").symlink_to(inside)
    assert parse_scene(SCENE, tmp_path / "link")


def test_files_without_a_folder() -> None:
    found = mistakes(SCENE)
    files = ["types[1]", 'solid "bell".mesh', 'furniture "sofa".mesh']
    assert [m.where for m in found] == files
    assert all("save the scene" in m.remedy for m in found)


def test_a_types_file_that_breaks_off_names_itself_before_its_line(folder: Path) -> None:
    for content in (TYPES.encode() + b"[[", b"\n\xff"):
        (folder / "types.toml").write_bytes(content)
        mistake = mistakes(SCENE, folder)[0]
        assert mistake.where.startswith("types.toml, line ")
        assert mistake.line is None


def test_brackets_apart_by_more_than_the_body_is_long(folder: Path) -> None:
    text = TYPES.replace('"600 mm"\nleast', '"1.3 m"\nleast').replace('"750 mm"', '"1.4 m"')
    (folder / "types.toml").write_text(text)
    (mistake,) = mistakes(SCENE, folder)
    assert "is less than spacing" in mistake.message


def test_more_lengths_of_arm_than_anybody_stocks_are_refused_at_once(folder: Path) -> None:
    many = ", ".join(f'"{i} mm"' for i in range(1, 80))
    text = TYPES.replace('extensions = ["2 in", "6 in"]', f"extensions = [{many}]\nstack = 6")
    (folder / "types.toml").write_text(text)
    (mistake,) = mistakes(SCENE, folder)
    assert mistake.where.endswith('bracket_type "short arm".extensions')
    assert "79 lengths, 6 on one arm" in mistake.message


def test_a_types_file_that_is_missing_is_the_only_mistake(folder: Path) -> None:
    (folder / "types.toml").unlink()
    (mistake,) = mistakes(SCENE, folder)
    assert mistake.where == "types[1]"
    assert 'no file "types.toml"' in mistake.message


def test_a_mistake_in_a_types_file_says_which_file(folder: Path) -> None:
    (folder / "types.toml").write_text(TYPES.replace('"3 kW"', '"3 kV"'))
    (mistake,) = mistakes(SCENE, folder)
    line = line_of(TYPES, '"3 kW"')
    assert mistake.where == f'types.toml, line {line}: heater_type "bar".input_power'
    assert mistake.line is None


@pytest.mark.parametrize(
    ("old", "new", "where", "message"),
    [
        ('spacing = "600 mm"', 'spacing = "900 mm"', "most_spacing", "is less than spacing"),
        ('tilt_from = "-30 deg"', 'tilt_from = "40 deg"', "tilt_to", "is less than tilt_from"),
        ('aperture_length = "1 m"', 'aperture_length = "2 m"', "length", "is less than aperture"),
        ('ends = "300 mm"', "", "combustible.ends", "is missing"),
        ('mounts = ["ceiling", "wall"]', 'mounts = ["roof"]', "mounts[1]", 'there is no "roof"'),
        ('mounts = ["ceiling", "wall"]', "mounts = []", "mounts", "is empty"),
    ],
)  # fmt: skip
def test_types_must_fit_in_themselves(
    folder: Path, old: str, new: str, where: str, message: str
) -> None:
    start, _, rest = TYPES.partition("noncombustible")
    broken = (start + "noncombustible" + rest).replace(old, new, 1).replace(", , ", ", ")
    (folder / "types.toml").write_text(broken)
    (mistake,) = mistakes(SCENE, folder)
    assert mistake.where.endswith(f'heater_type "bar".{where}')
    assert message in mistake.message


def test_two_types_of_one_name(folder: Path) -> None:
    (folder / "types.toml").write_text(TYPES.replace('"wall arm"', '"short arm"'))
    (mistake,) = mistakes(SCENE, folder)
    assert mistake.message == 'there are two called "short arm"'


def test_no_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_scene(tmp_path / "porch.toml")


def test_a_folder_for_a_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder, not a file"):
        read_scene(tmp_path)


def test_a_name_no_file_can_have(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_scene(tmp_path / "porch\0.toml")


def test_not_utf8(tmp_path: Path) -> None:
    path = tmp_path / "porch.toml"
    path.write_bytes(b'[site]\nname = "Caf\xe9"\n')
    with pytest.raises(InputError) as caught:
        read_scene(path)
    (mistake,) = caught.value.mistakes
    assert "not UTF-8" in mistake.message
    assert mistake.line == 2


def test_a_file_too_large(tmp_path: Path) -> None:
    path = tmp_path / "porch.toml"
    path.write_bytes(b"#" * 2_000_000)
    with pytest.raises(InputError, match="is larger than 1000 kB"):
        read_scene(path)


BROKEN = {
    "a file that breaks off in a list": ("[floor]\noutline = [[0, 0],\n", 2, "partner"),
    "a file that breaks off in a header": ("[site]\nname = 'x'\n[flo", 3, "partner"),
    "a file that breaks off in text": ('[site]\nname = "x', 2, "partner"),
    "a key without a value": ("[site]\nname =\n", 2, "its = and value"),
    "a length without quotes": ("[site]\ntolerance = 5 mm\n", 2, 'in quotes, as in "2.4 m"'),
    "an inch mark in quotes": ('[site]\ntolerance = "1\' 6""\n', 2, "leave out the inch mark"),
    "a header twice": ("[site]\n[post]\n[post]\n", 3, "[[post]]"),
    "a key twice": ("[site]\nname = 'x'\nname = 'y'\n", 3, "partner"),
    "a number of very many digits": (f"a = {'1' * 5000}\n", 1, "partner"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_broken_toml_is_one_mistake_with_its_line(case: str) -> None:
    text, line, remedy = BROKEN[case]
    (mistake,) = mistakes(text)
    assert mistake.line == line
    assert "not TOML" in mistake.message
    assert remedy in mistake.remedy


@pytest.mark.parametrize("depth", [40, 100_000])
@pytest.mark.parametrize("text", ["a = {0}", "{1}b = 1", "[{1}b]", "a = {2}"])
def test_deep_nesting_is_refused_and_costs_nothing(text: str, depth: int) -> None:
    deep = text.format("[" * depth + "]" * depth, "a." * depth, "{a=" * depth + "1" + "}" * depth)
    (mistake,) = mistakes(deep)
    assert "nested more than 32 deep" in mistake.message
