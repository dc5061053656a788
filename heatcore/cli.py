"""The command line.

Exit status: 0 where nothing fails, 1 where a check fails (with --strict also where something must
be measured on site), 2 for bad input or a missing tool. No traceback reaches a user.
"""

from __future__ import annotations

import argparse
import json
import signal
import sys
import tempfile
import traceback
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from heatcore import __version__, sheets
from heatcore.blender_process import Progress, run_blender
from heatcore.checks.finding import Finding, Verdict
from heatcore.compare import compare
from heatcore.errors import HeatcoreError, InputError
from heatcore.evaluate import Evaluation, evaluate
from heatcore.remedies import Fix, Remedy, fixable, fixes, remedies
from heatcore.remedies.pasted import toml
from heatcore.scene import choose, read_scene
from heatcore.sizing import size as size_heaters

HOLDS, FAILS, BAD_INPUT, STOPPED = 0, 1, 2, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    if argv is None:
        # Ended from outside, we still end the Blender that we started.
        signal.signal(signal.SIGTERM, signal.default_int_handler)
        warnings.showwarning = remark
    arguments = parser().parse_args(argv)
    command: Callable[[argparse.Namespace], int] = arguments.command
    try:
        return command(arguments)
    except HeatcoreError as error:
        return refuse(error, as_json=arguments.json)
    except BrokenPipeError:
        # The reader of our output has gone (`heatcore check ... | head`); nobody is left to tell.
        sys.stderr.close()
        return HOLDS
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return STOPPED
    except Exception as fault:  # noqa: BLE001 (the edge: a fault of ours is told, once, in words)
        print(f"heatcore met a fault of its own: {type(fault).__name__}: {fault}", file=sys.stderr)
        print(
            f"please report it with the scene file; the details are in {noted()}", file=sys.stderr
        )
        return BAD_INPUT


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    reading = argparse.ArgumentParser(add_help=False)
    reading.add_argument("scene", type=Path, metavar="SCENE", help="the scene file (TOML)")
    reading.add_argument(
        "--types",
        type=Path,
        action="append",
        default=[],
        metavar="FILE",
        help="a further file of heater and bracket types; may be given more than once",
    )
    reading.add_argument("--json", action="store_true", help="print stable JSON instead of tables")
    common = argparse.ArgumentParser(add_help=False, parents=[reading])
    common.add_argument(
        "--option", metavar="NAME", help="one of the scene's options, instead of the scene as drawn"
    )
    common.add_argument(
        "--strict", action="store_true", help="exit 1 also where something must be measured on site"
    )
    in_blender = argparse.ArgumentParser(add_help=False)
    in_blender.add_argument(
        "--floor",
        choices=("irradiance", "landing"),
        default="irradiance",
        help="what the colors on the floor say: how much arrives, or which beams land where",
    )
    in_blender.add_argument(
        "--blender",
        type=Path,
        metavar="PROGRAM",
        help="use this Blender instead of the embedded bpy",
    )

    top = argparse.ArgumentParser(
        prog="heatcore",
        description="Place overhead infrared heaters in a client's space and check them.",
        epilog="Exit status: 0 where nothing fails, 1 where a check fails, 2 for bad input. "
        "Planning advice, not a certificate: the maker's instructions, the listing and "
        "local codes govern, and licensed trades decide.",
    )
    top.add_argument("--version", action="version", version=f"heatcore {__version__}")
    commands = top.add_subparsers(required=True, metavar="COMMAND")

    check = commands.add_parser(
        "check", parents=[common], help="print where each heater hangs, who is in a beam, findings"
    )
    check.set_defaults(command=run_check)
    whole = commands.add_parser(
        "evaluate", parents=[common], help="the same; its JSON has the beams' outlines too"
    )
    whole.set_defaults(command=run_evaluate)
    build = commands.add_parser(
        "build", parents=[common, in_blender], help="write the model as a .blend"
    )
    build.add_argument(
        "--out", type=Path, required=True, metavar="FILE.blend", help="the file to write"
    )
    build.set_defaults(command=run_build)
    stills = commands.add_parser(
        "stills", parents=[common, in_blender], help="render the client's pictures"
    )
    stills.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="the folder to write them to"
    )
    stills.add_argument(
        "--size", type=size, default=(1600, 900), metavar="WxH", help="1600x900 if left out"
    )
    stills.add_argument(
        "--engine",
        choices=("cycles", "fast"),
        default="cycles",
        help="cycles (photographic) or fast (a quick look)",
    )
    stills.add_argument("--samples", type=count, default=None, metavar="N", help="samples a pixel")
    stills.add_argument(
        "--only",
        action="append",
        default=[],
        metavar="VIEW",
        help="render this still only, such as hero or plan; may be given more than once",
    )
    stills.set_defaults(command=run_stills)
    beside = commands.add_parser(
        "compare",
        parents=[reading],
        help="set options side by side and say what differs, and why",
        description="Set options side by side: every figure, and a sentence for each difference "
        "that matters. Exit status 0 also where a check fails; 2 for bad input.",
    )
    beside.add_argument(
        "--option",
        action="append",
        default=[],
        metavar="NAME",
        help="an option to compare; given more than once, the first is held against each of the "
        "others; once, it is held against the scene as drawn; left out, all are compared",
    )
    beside.set_defaults(command=run_compare)
    sizes = commands.add_parser(
        "size",
        parents=[common],
        help="say how many heaters the seats take, and the whole floor, beside the area rule",
        description="How many heaters: as drawn, by the trade's area rule, to warm just the seats, "
        "and to warm the whole floor; with input, current, circuits and an evening's cost. "
        "Exit status 0; 2 for bad input.",
    )
    sizes.add_argument(
        "--type",
        metavar="NAME",
        help="the heater type to count; left out, the one that the scene uses most",
    )
    sizes.add_argument(
        "--toml",
        action="store_true",
        help="print the heaters for the seats only, as [[heater]] tables for the scene file",
    )
    sizes.set_defaults(command=run_size)
    helps = commands.add_parser(
        "remedies",
        parents=[reading],
        help="say what would clear findings and make cold places warm, each change tried first",
        description="For each finding that fails or is in doubt: the heater shifted, turned, hung "
        "lower or on another bracket, or the door hung otherwise. For each place that is cold or "
        "borderline: the smallest move of the seat, one heater turned, moved or added, or its "
        "output raised. Each is tried through a whole evaluation. Exit status 0; 2 for bad input.",
    )
    helps.add_argument(
        "--for",
        choices=("findings", "places"),
        dest="wanted",
        help="look at findings only, or at places only",
    )
    helps.add_argument(
        "--heater",
        action="append",
        default=[],
        metavar="NAME",
        help="only what this heater's findings ask for; may be given more than once",
    )
    helps.add_argument(
        "--option", metavar="NAME", help="one of the scene's options, instead of the scene as drawn"
    )
    helps.add_argument(
        "--place",
        action="append",
        default=[],
        metavar="NAME",
        help="only what this seat or person asks for, instead of all that are not warm; may be "
        "given more than once",
    )
    helps.add_argument(
        "--toml",
        action="store_true",
        help="print the changes as options that can be pasted into the scene file",
    )
    helps.set_defaults(command=run_remedies)
    return top


def run_check(arguments: argparse.Namespace) -> int:
    """Print the placement table, who is in a beam, and the findings."""
    evaluation = load(arguments)
    show(evaluation, arguments)
    return status(evaluation, strict=arguments.strict)


def run_evaluate(arguments: argparse.Namespace) -> int:
    """Print everything that is known, as tables or as JSON."""
    return run_check(arguments)


def run_build(arguments: argparse.Namespace) -> int:
    """Write the model as a .blend."""
    if arguments.out.suffix != ".blend":
        raise InputError(
            "--out", f"{arguments.out} does not end in .blend", "name the file FILE.blend"
        )
    evaluation = load(arguments)
    files = in_blender("build", arguments, {"out": str(arguments.out.absolute())})
    show(evaluation, arguments, files)
    return status(evaluation, strict=arguments.strict)


def run_stills(arguments: argparse.Namespace) -> int:
    """Render the stills, then print what they show and where they are."""
    evaluation = load(arguments)
    files = in_blender(
        "stills",
        arguments,
        {
            "out": str(arguments.out.absolute()),
            "size": list(arguments.size),
            "engine": arguments.engine,
            "samples": arguments.samples,
            "only": arguments.only,
        },
    )
    show(evaluation, arguments, files)
    return status(evaluation, strict=arguments.strict)


def run_compare(arguments: argparse.Namespace) -> int:
    """Print options side by side, and what differs."""
    scene = read_scene(arguments.scene, types=arguments.types)
    comparison = compare(scene, arguments.option)
    if arguments.json:
        show_record(sheets.comparison_record(comparison))
    else:
        print(sheets.comparison_report(comparison))
    return HOLDS


def run_size(arguments: argparse.Namespace) -> int:
    """Print how many heaters the seats and the floor take."""
    scene = choose(read_scene(arguments.scene, types=arguments.types), arguments.option)
    sizing = size_heaters(scene, arguments.type)
    if arguments.toml:
        print(sheets.heaters_toml(sizing), end="")
    elif arguments.json:
        show_record(sheets.sizing_record(sizing, arguments.option))
    else:
        print(sheets.sizing_report(sizing, arguments.option))
    return HOLDS


def run_remedies(arguments: argparse.Namespace) -> int:
    """Print what would clear findings, and what would make cold places warm."""
    scene = read_scene(arguments.scene, types=arguments.types)
    evaluation = evaluate(choose(scene, arguments.option))

    def tell(name: str) -> None:
        print(f"looking at {name}", file=sys.stderr)

    named = bool(arguments.heater or arguments.place)
    cures = places = None
    if arguments.heater or (not named and arguments.wanted != "places"):
        asked = unmet(evaluation, arguments.heater)
        cures = fixes(evaluation, asked, progress=tell) if asked else ()
    if arguments.place or (not named and arguments.wanted != "findings"):
        places = remedies(evaluation, arguments.place, progress=tell)
    if arguments.json:
        show_record(sheets.remedies_record(evaluation, cures, places, arguments.option))
    elif arguments.toml:
        base = next((o for o in scene.option if o.name == arguments.option), None)
        offered: list[Remedy | Fix] = [
            *(fix for advice in cures or () for fix in advice.fixes),
            *(remedy for advice in places or () for remedy in advice.remedies),
        ]
        print(toml(offered, base))
    else:
        print(sheets.remedies_report(evaluation, cures, places, arguments.option))
    return HOLDS


def unmet(evaluation: Evaluation, heaters: Sequence[str]) -> tuple[Finding, ...]:
    """The findings that a change may clear, of some heaters or of all.

    Raises
    ------
    InputError
        If there is no such heater.
    """
    known = [mount.name for mount in evaluation.mounts]
    for name in heaters:
        if name not in known:
            there = ", ".join(f'"{other}"' for other in known) or "none"
            raise InputError("heater", f'there is no heater "{name}"', f"choose from {there}")
    found = (f for f in evaluation.findings if fixable(f))
    return tuple(f for f in found if not heaters or f.heater in heaters)


def load(arguments: argparse.Namespace) -> Evaluation:
    """Read the scene, choose its option, evaluate it."""
    scene = read_scene(arguments.scene, types=arguments.types)
    return evaluate(choose(scene, arguments.option))


def in_blender(task: str, arguments: argparse.Namespace, request: dict[str, Any]) -> list[str]:
    """Run a task in a Blender process of its own and return the files it wrote."""
    request |= {
        "scene": str(arguments.scene.absolute()),
        "option": arguments.option,
        "floor": arguments.floor,
        "types": [str(path.absolute()) for path in arguments.types],
    }
    with Progress(sys.stderr) as progress:
        return run_blender(task, request, blender=arguments.blender, progress=progress)


def show(evaluation: Evaluation, arguments: argparse.Namespace, files: Sequence[str] = ()) -> None:
    """Print an evaluation, and the files that were written."""
    if arguments.json:
        data = sheets.record(evaluation, arguments.option)
        if arguments.command is run_check:
            del data["beams"], data["maps"]  # the tables do not show their outlines either
        print(
            json.dumps(
                data | ({"files": list(files)} if files else {}), indent=2, ensure_ascii=False
            )
        )
        return
    print(sheets.report(evaluation, arguments.option))
    if files:
        print("Written\n" + "\n".join(f"  {name}" for name in files))


def show_record(data: dict[str, Any]) -> None:
    """Print JSON."""
    print(json.dumps(data, indent=2, ensure_ascii=False))


def status(evaluation: Evaluation, *, strict: bool) -> int:
    """Exit status for an evaluation."""
    bad = {Verdict.FAILS, Verdict.MEASURE} if strict else {Verdict.FAILS}
    return FAILS if any(f.verdict in bad for f in evaluation.findings) else HOLDS


def refuse(error: HeatcoreError, *, as_json: bool) -> int:
    """Say what is wrong, one line a mistake, and return the status for bad input."""
    if as_json:
        mistakes = error.mistakes if isinstance(error, InputError) else ()
        data = [
            {"where": m.where, "line": m.line, "message": m.message, "remedy": m.remedy}
            for m in mistakes
        ]
        if not data:
            data = [{"where": "", "line": None, "message": error.message, "remedy": error.remedy}]
        print(json.dumps({"format": sheets.FORMAT, "mistakes": data}, indent=2, ensure_ascii=False))
    else:
        print(error, file=sys.stderr)
    return BAD_INPUT


def remark(message: Warning | str, *_: Any, **__: Any) -> None:
    """Say a warning in one line."""
    print(f"note: {message}", file=sys.stderr)


def noted() -> Path:
    """Write down where the fault at hand came from, and return the file."""
    with tempfile.NamedTemporaryFile(
        "w", prefix="heatcore-fault-", suffix=".txt", delete=False, encoding="utf-8"
    ) as file:
        traceback.print_exc(file=file)
    return Path(file.name)


def size(text: str) -> tuple[int, int]:
    """Read a picture's size such as 1600x900."""
    width, _, height = text.lower().partition("x")
    if not (
        width.isdigit()
        and height.isdigit()
        and 16 <= int(width) <= 16384
        and 16 <= int(height) <= 16384
    ):
        raise argparse.ArgumentTypeError(f"{text!r} is no size; write it as 1600x900")
    return int(width), int(height)


def count(text: str) -> int:
    """Read a number of samples."""
    if not (text.isdigit() and 1 <= int(text) <= 65536):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of samples; write it as 24")
    return int(text)
