"""Changes tried: first what can speak against one, then the whole evaluation."""

from __future__ import annotations

from dataclasses import dataclass, replace

from heatcore.checks import check
from heatcore.checks.finding import Finding
from heatcore.errors import InputError
from heatcore.evaluate import Evaluation, evaluate
from heatcore.geometry.build import build
from heatcore.geometry.parts import Model
from heatcore.heat import emitters_of, surroundings
from heatcore.heat.people.body import BodyHeat
from heatcore.heat.people.warmth import body_heats
from heatcore.mounting import hang
from heatcore.mounting.mount import Mount
from heatcore.remedies.standing import unmet
from heatcore.scene import choose
from heatcore.scene.model import Option, Scene

MOST_EVALUATIONS = 40


@dataclass(frozen=True, eq=False)
class Trial:
    """What decides about a change.

    Attributes
    ----------
    people : what each person gets, in the order of the places
    findings : of the checks
    """

    people: tuple[BodyHeat, ...]
    findings: tuple[Finding, ...]


class Trials:
    """Tries changes of one evaluated scene, each once.

    Attributes
    ----------
    base : the scene as it is
    left : whole evaluations that may still be spent
    unmet : what fails or is in doubt as it is
    """

    def __init__(self, base: Evaluation, most: int = MOST_EVALUATIONS) -> None:
        self.base = base
        self.left = most
        self._scene = replace(base.scene, option=())
        self.unmet = unmet(base.findings)
        self._tried: dict[str, Trial | str] = {}
        self._checked: dict[str, tuple[Finding, ...] | str] = {}
        self._whole: dict[str, Evaluation | str] = {}

    def whole(self, option: Option) -> Evaluation | str:
        """Evaluate the scene with an option; why not, where that cannot be."""
        key = _key(option)
        if key not in self._whole:
            if not self.left:
                return "not evaluated as a whole, the bound is reached; ask for less at a time"
            self.left -= 1
            try:
                self._whole[key] = evaluate(self._changed(option))
            except InputError as error:
                self._whole[key] = str(error)
        return self._whole[key]

    def checked(self, option: Option) -> tuple[Finding, ...] | str:
        """What the checks find with an option; why not, where that cannot be."""
        key = _key(option)
        if key not in self._checked:
            try:
                scene = self._changed(option)
                self._checked[key] = check(scene, *self._made(scene))
            except InputError as error:
                self._checked[key] = str(error)
        return self._checked[key]

    def tried(self, option: Option) -> Trial | str:
        """What decides about an option; why not, where it cannot be."""
        key = _key(option)
        if key not in self._tried:
            try:
                self._tried[key] = self._trial(self._changed(option))
            except InputError as error:
                self._tried[key] = str(error)
        return self._tried[key]

    def _changed(self, option: Option) -> Scene:
        return choose(replace(self._scene, option=(option,)), option.name)

    def _trial(self, scene: Scene) -> Trial:
        """Exactly what `evaluate` finds of people and of checks, but for heads and eyes."""
        site = scene.site
        model, mounts = self._made(scene)
        emitters = emitters_of(mounts, site.supply.voltage)
        same = model is self.base.model
        around = self.base.surroundings.hung_anew(mounts) if same else surroundings(mounts, model)
        people = body_heats(emitters, model, around, site.climate, site.target, site.units)
        return Trial(people, check(scene, model, mounts))

    def _made(self, scene: Scene) -> tuple[Model, tuple[Mount, ...]]:
        """The scene made solid, and its heaters hung; what did not change as it was."""
        if replace(scene, heater=()) == replace(self._scene, heater=()):
            return self.base.model, self._hung(scene, self.base.model)
        model = build(scene)
        return model, hang(scene, model)

    def _hung(self, scene: Scene, model: Model) -> tuple[Mount, ...]:
        """The heaters hung, those that stay as they were."""
        known = {mount.heater: mount for mount in self.base.mounts}
        new = tuple(heater for heater in scene.heater if heater not in known)
        known |= {m.heater: m for m in hang(replace(scene, heater=new), model)} if new else {}
        return tuple(known[heater] for heater in scene.heater)


def _key(option: Option) -> str:
    return repr((option.remove, option.set, option.add))
