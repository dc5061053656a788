import pickle

import pytest

from heatcore.errors import HeatcoreError, InputError, MeshError, MissingBlender, Mistake, UnitError

WIDTH = Mistake("door[2].width", '"3 fot" is not a length', "write it as 3 ft or 90 cm", 12)
TILT = Mistake('heater "H1".tilt', "the tilt is 95 deg", "keep it under 60 deg")


def test_a_mistake_reads_as_one_line() -> None:
    assert str(WIDTH) == (
        'line 12: door[2].width: "3 fot" is not a length; write it as 3 ft or 90 cm'
    )
    assert str(TILT) == 'heater "H1".tilt: the tilt is 95 deg; keep it under 60 deg'


def test_a_mistake_of_the_whole_names_no_place() -> None:
    assert str(Mistake("", "the file is empty", "")) == "the file is empty"


def test_an_error_says_what_and_then_what_to_do() -> None:
    error = MissingBlender("no Blender was found", "install bpy")
    assert (error.message, error.remedy) == ("no Blender was found", "install bpy")
    assert str(error) == "no Blender was found. Install bpy"


def test_every_error_is_of_the_family() -> None:
    for kind in (InputError, MeshError, MissingBlender, UnitError):
        assert issubclass(kind, HeatcoreError)
    assert issubclass(UnitError, ValueError)
    assert issubclass(MeshError, InputError)


def test_one_mistake_makes_an_input_error() -> None:
    error = InputError(TILT.where, TILT.message, TILT.remedy)
    assert error.mistakes == (TILT,)
    assert str(error) == str(TILT)


def test_many_mistakes_make_one_error_with_a_line_each() -> None:
    error = MeshError.of([WIDTH, TILT])
    assert isinstance(error, MeshError)
    assert error.mistakes == (WIDTH, TILT)
    assert str(error).splitlines() == [str(WIDTH), str(TILT)]
    assert (error.message, error.remedy) == (WIDTH.message, WIDTH.remedy)


def test_no_mistake_is_no_error() -> None:
    with pytest.raises(ValueError, match="at least one"):
        InputError.of([])


@pytest.mark.parametrize(
    "error", [InputError.of([WIDTH, TILT]), UnitError("a", "b"), MeshError("m", "is open", "close")]
)
def test_an_error_crosses_to_another_process(error: HeatcoreError) -> None:
    copy = pickle.loads(pickle.dumps(error))
    assert type(copy) is type(error)
    assert str(copy) == str(error)
    assert vars(copy) == vars(error)
