"""The worst corner of the tolerances, for everything that is held against one heater.

Each dimension that can matter is moved to both ends of its tolerance by itself, and everything is
evaluated there: built, hung on the brackets that were ordered, and measured. For each margin that
gives the worse end of each dimension. All of them at their worse ends together are that margin's
corner, and it is evaluated there too.

Where a margin is not the sum of what its dimensions do to it by themselves, that corner need not be
the worst one. Then dimensions are flipped one at a time as long as that lowers the margin. Of all
that was evaluated on the way, whatever for, the least counts.

So what is said is the evaluated margin of a scene within the tolerances, and no single dimension
moved to its other end makes it worse. What is not promised is that no other corner is worse where
several dimensions would have to be flipped together, nor that the worst lies in a corner at all: a
margin may dip between the ends of a dimension.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from heatcore.checks.finding import Deciding, Doubt, Finding
from heatcore.checks.keepouts import keep_outs
from heatcore.geometry.distance import NOISE
from heatcore.geometry.parts import Kind, Model
from heatcore.mounting.mount import Mount
from heatcore.scene.types import KeepOut
from heatcore.tolerance.dimension import Dimension
from heatcore.tolerance.readings import VOLUME, Key, Readings, groups_of, read
from heatcore.tolerance.scope import MORE, Moves, Scope, around
from heatcore.tolerance.variants import AS_DRAWN, CARRYING, Corner, Variants

EFFECT = 1e-6  # m or rad; what a dimension does by less is not told
MOST_TOLD = 6  # dimensions that a finding names
_ROUNDS = 3
_COUNTS = 0.02  # of the sum of all single effects; what does less by itself is not flipped
_FEW = 14  # so many values of single dimensions are always flipped through
_OTHERS = 4  # corners of other margins that are tried for one
# What no keep-out is about.
_BUILT = (*CARRYING, Kind.POST, Kind.DOOR, Kind.WINDOW, Kind.SCREEN)
_TO_THINGS = ("clearance.", VOLUME)
_FRAME = np.concatenate([np.zeros((1, 3)), np.eye(3)])
_AGREES = 0.05  # of the sum of all single effects


@dataclass(frozen=True, eq=False)
class Worst:
    """Where a margin is worst.

    Attributes
    ----------
    margin : there [unit of the finding]
    readings : all that is measured there
    """

    margin: float
    readings: Readings


class Search:
    """All corners that are looked at for one heater.

    Parameters
    ----------
    heater : its name
    variants : of its scene
    scope : what can matter to it
    moves : of it and of the heaters near it, by name
    """

    def __init__(
        self, heater: str, variants: Variants, scope: Scope, moves: Mapping[str, Moves]
    ) -> None:
        self._name, self._variants, self._moves = heater, variants, moves
        self._seen: dict[Corner, Readings | None] = {}
        self._read_before: dict[tuple[object, ...], Readings] = {}
        self._kept: list[Model] = []
        self._kept_out_before: dict[tuple[object, ...], list[Finding]] = {}
        self._looked: set[Key] = set()
        self._scope = scope
        self._keep_outs = self._near_keep_outs()
        self.drawn = self._at(AS_DRAWN)
        self._single: dict[Dimension, dict[float, Readings]] = {}
        if self.drawn is not None:
            for dimension in self._scope.dimensions:
                self._single[dimension] = dict(self._both_ends(dimension))

    # ------------------------------------------------------------------ what can matter

    def _near_keep_outs(self) -> dict[str, KeepOut]:
        """The keep-outs that all dimensions together could use up."""
        scene, model = self._variants.scene, self._variants.model
        mount = self._variants.mount_at(self._name, AS_DRAWN)
        if mount is None:
            return {}
        return {
            name: keep_out
            for name, keep_out in scene.keep_outs.items()
            for found in [keep_outs(mount, replace(scene, keep_outs={name: keep_out}), model)]
            if any(finding.margin <= self._scope.slack for finding in found)
        }

    # ------------------------------------------------------------------ evaluating

    def _at(self, corner: Corner) -> Readings | None:
        """Evaluate a corner; None where it cannot be."""
        if corner not in self._seen:
            self._seen[corner] = self._read(corner)
        return self._seen[corner]

    def _read(self, corner: Corner) -> Readings | None:
        model = self._variants.model_at(corner)
        mount = self._hung(self._name, corner)
        if model is None or mount is None:
            return None
        brought = self._brought(corner)
        others = [
            self._hung(name, corner)
            for name in self._scope.others
            if brought is None or name in brought
        ]
        mounts = [mount, *(other for other in others if other is not None)]
        local = self._local(mount, model, brought)
        # Most dimensions leave most things where they are, and what is there is read once.
        feet = {arm.surface for arm in mount.arms}
        held = (p for p in model.parts if p.name in feet or p.kind in (Kind.FLOOR, Kind.PLATFORM))
        same = (
            *(m.frame.to_world(_FRAME).tobytes() for m in mounts),
            *(arm.length for arm in mount.arms),
            mount.spare,
            *(fault.code for fault in mount.faults),
            *map(id, (*local.parts, *held)),
            *(corner if self._keep_outs else ()),
        )
        if same not in self._read_before:
            carrying = self._variants.carrying(model)
            self._kept.append(local)
            within = self._scope.within if corner else frozenset()
            self._read_before[same] = read(
                mount,
                self._kept_out(mount, corner, model),
                model,
                local,
                carrying,
                mounts,
                self._scope.slack,
                within,
            )
        found = self._read_before[same]
        return found if brought is None else self._as_drawn_but_for(brought, found)

    def _kept_out(self, mount: Mount, corner: Corner, model: Model) -> list[Finding]:
        """What the keep-outs say, asked once of the same things."""
        if not self._keep_outs:
            return []
        kept_from = [part for part in model.parts if part.kind not in _BUILT]
        same = (
            mount.frame.to_world(_FRAME).tobytes(),
            *(arm.foot.tobytes() for arm in mount.arms),
            *(place.point.tobytes() for place in model.places),
            *map(id, kept_from),
        )
        if same not in self._kept_out_before:
            scene = replace(self._variants.scene_at(corner), keep_outs=self._keep_outs)
            self._kept_out_before[same] = keep_outs(mount, scene, model)
        return self._kept_out_before[same]

    def _brought(self, corner: Corner) -> frozenset[str] | None:
        """The things that a single dimension moves as the heater sees them; None for all."""
        if len(corner) != 1:
            return None
        ((dimension, _),) = corner
        return self._scope.brings.get(dimension)

    def _as_drawn_but_for(self, brought: frozenset[str], found: Readings) -> Readings:
        """Readings of some things and of the mount, with those of all other things as drawn."""
        drawn = self.drawn
        assert drawn is not None

        def stands(key: Key) -> bool:
            return key.code.startswith(_TO_THINGS) and key.group not in brought

        return Readings(
            {k: v for k, v in drawn.margins.items() if stands(k)} | dict(found.margins),
            {k: v for k, v in drawn.findings.items() if stands(k)} | dict(found.findings),
        )

    def _local(self, mount: Mount, model: Model, brought: frozenset[str] | None) -> Model:
        """What of a model can come too near, or those things of it that are brought nearer."""
        if brought is not None and not brought:
            return Model((), model.places, model.floor_outline)
        local, groups = around(mount, model, self._scope.slack), groups_of(model.parts)
        parts = tuple(
            part
            for part in local.parts
            if self._scope.holds(part, groups)
            if brought is None or groups[part.name] in brought or part.name not in self._scope.known
        )
        return Model(parts, local.places, local.floor_outline)

    def _hung(self, name: str, corner: Corner) -> Mount | None:
        """A heater at a corner, of which only what can move it counts."""
        moving = self._moves[name].by
        return self._variants.mount_at(name, frozenset(c for c in corner if c[0] in moving))

    def _both_ends(self, dimension: Dimension) -> Iterator[tuple[float, Readings]]:
        """Readings at both ends of a dimension, or as near to them as it can go."""
        for values in dimension.ends:
            for value in values:
                found = self._at(frozenset({(dimension, value)}))
                if found is not None:
                    yield value, found
                    break

    # ------------------------------------------------------------------ the worst corner

    @property
    def keys(self) -> list[Key]:
        """All margins that were met."""
        met = [r for r in self._seen.values() if r is not None]
        return list(dict.fromkeys(key for readings in met for key in readings.margins))

    def near_their_limit(self) -> list[Key]:
        """Margins that all dimensions together may use up, or that some corner has used up."""
        assert self.drawn is not None
        return [
            key
            for key, margin in self.drawn.margins.items()
            if margin > NOISE or key.code != VOLUME
            if margin < MORE * sum_of(self.effects(key))
        ]

    def effects(self, key: Key) -> dict[Dimension, tuple[float, float]]:
        """Of each dimension its worse end, and by how much that alone lowers a margin."""
        drawn = None if self.drawn is None else self.drawn.margins.get(key)
        found: dict[Dimension, tuple[float, float]] = {}
        if drawn is None:
            return found
        for dimension, ends in self._single.items():
            worst = [(r.margins[key], value) for value, r in ends.items() if key in r.margins]
            if worst and drawn - min(worst)[0] > EFFECT / 10:
                margin, value = min(worst)
                found[dimension] = value, drawn - margin
        return found

    def look(self, key: Key) -> None:
        """Evaluate a margin's corner, and go on from there where that need not be the worst."""
        effects = self.effects(key)
        if self.drawn is None or not effects or self.drawn.margins[key] > self._scope.slack:
            return
        self._looked.add(key)
        drawn, total = self.drawn.margins[key], sum_of(effects)
        corner = frozenset((d, value) for d, (value, _) in effects.items())
        if self._at(corner) is None:
            corner = self._as_much_as_can_be(effects)
        readings = self._at(corner)
        margin = drawn if readings is None else readings.margins.get(key, drawn)
        strays = abs(margin - (drawn - total))
        silent = sum(self._most_effect(d, key) for d in self._single if d not in effects)
        best, few = corner, sum(map(len, self._single.values())) <= _FEW
        if few or -NOISE <= margin <= strays + silent:
            best, margin = self._completed(key, corner, margin)
        if few or -NOISE <= margin <= strays:
            self._descend(key, best, margin)

    def _completed(self, key: Key, corner: Corner, margin: float) -> tuple[Corner, float]:
        """Let what by itself does nothing to a margin do its worst to others of the heater.

        Where something else comes to decide on the way to the corner (a timber in place of the
        ceiling, one arm in place of the other), its dimensions begin to count.
        """
        assert self.drawn is not None
        margins, mine, best = self.drawn.margins, {d for d, _ in corner}, corner
        others = sorted(
            (k for k in margins if k != key and k.code != VOLUME),
            key=lambda k: (k.group != key.group, k.code != "mount.arm", margins[k]),
        )
        for other in others[:_OTHERS]:
            more = {(d, v) for d, (v, _) in self.effects(other).items() if d not in mine}
            readings = self._at(corner | more) if more else None
            if readings is not None and readings.margins.get(key, margin) < margin - NOISE:
                best, margin = corner | more, readings.margins[key]
        return best, margin

    def _as_much_as_can_be(self, effects: Mapping[Dimension, tuple[float, float]]) -> Corner:
        """Where not all can be off at once, as many as can, the strongest first."""
        corner: Corner = AS_DRAWN
        for dimension, (value, _) in sorted(effects.items(), key=lambda entry: -entry[1][1]):
            wider = corner | {(dimension, value)}
            if self._at(wider) is not None:
                corner = wider
        return corner

    def _most_effect(self, dimension: Dimension, key: Key) -> float:
        """The most that a dimension by itself does to any margin of the same thing."""
        assert self.drawn is not None
        return max(
            (
                abs(readings.margins[other] - margin)
                for readings in self._single[dimension].values()
                for other, margin in self.drawn.margins.items()
                if other.code != VOLUME and other.group == key.group and other in readings.margins
            ),
            default=0.0,
        )

    def _descend(self, key: Key, corner: Corner, margin: float) -> None:
        """Flip single dimensions that count for a thing as long as that lowers a margin."""
        best, total = dict(corner), sum_of(self.effects(key))
        counts = [d for d in self._single if self._most_effect(d, key) > _COUNTS * total]
        for _ in range(_ROUNDS):
            before = margin
            for dimension in counts:
                for value in self._single[dimension]:
                    if best.get(dimension) == value:
                        continue
                    readings = self._at(frozenset((best | {dimension: value}).items()))
                    if readings is not None and readings.margins.get(key, margin) < margin - NOISE:
                        best[dimension], margin = value, readings.margins[key]
            if margin >= before - NOISE:
                return

    def worst(self, key: Key) -> Worst | None:
        """The least of a margin over all that was evaluated; None where it was never met."""
        met = (r for r in self._seen.values() if r is not None and key in r.margins)
        readings = min(met, key=lambda r: r.margins[key], default=None)
        return None if readings is None else Worst(readings.margins[key], readings)

    def doubt(self, key: Key, *others: Key) -> Doubt | None:
        """What the tolerances leave of a margin, and the dimensions that decide about it.

        Parameters
        ----------
        key : of the margin
        others : margins whose dimensions are told where no single one does anything to this one
        """
        if self.drawn is not None and key in self.drawn.margins and key not in self._looked:
            return None
        worst = self.worst(key)
        effects = next((found for k in (key, *others) if (found := self.effects(k))), {})
        if worst is None:
            return None
        strongest = sorted(effects.items(), key=lambda entry: (-entry[1][1], entry[0].path))
        deciding = tuple(
            Deciding(d.path, d.words, d.drawn, value, d.unit, effect)
            for d, (value, effect) in strongest[:MOST_TOLD]
            if effect > EFFECT
        )
        return Doubt(worst.margin, deciding) if deciding else None


def sum_of(effects: Mapping[Dimension, tuple[float, float]]) -> float:
    """What all dimensions would do to a margin if their effects added up."""
    return sum(effect for _, effect in effects.values())
