"""Many forms read off the points at many moments at once: the numbers of ``posture_measures``, by arrays.

Only what stands on every frame that it rests on is read so; the rest is read one by one (``Asking``), which
moves a point from a frame beside the moment and says what is missing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import partial

import numpy as np
import numpy.typing as npt

from analysis.body.centre_of_mass import CentreOfMass, centre_of_mass
from analysis.body.forms import MIDDLES, AtMoment, Form, FormRead, Read
from analysis.body.mass_models import MassModel
from analysis.body.places import BodyPlaces, Moment
from analysis.body.point_lines import PointsAt
from analysis.ground.carried import RECTANGULAR, Source, WorkedOut, normal, spreads
from analysis.values.estimate import NoValue
from analysis.values.run import POINT_NAMES, Side

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]


def read_ahead(body: BodyPlaces, asked: Iterable[tuple[Form, Moment]]) -> None:
    """Read the forms that can be read so into ``body.ahead``. A moment without an error that is a frame's is
    read on that frame, any other between its frame and the one before.
    """
    on_frames: dict[AtMoment, Moment] = {}
    between: dict[AtMoment, Moment] = {}
    for form, moment in asked:
        key = form, moment.frame, moment.seconds
        if key in body.ahead:
            continue
        exact = moment.time.std_dev == 0.0 and moment.seconds == float(body.seconds[moment.frame])
        if not exact:
            between[key] = moment
        elif not models_of([form]):
            on_frames[key] = moment
    for of_way, exact in ((on_frames, True), (between, False)):
        if of_way:
            body.ahead.update(_Moments(body, of_way, exact).read(of_way))


def models_of(forms: Iterable[Form]) -> list[MassModel]:
    """The models by which forms take the centre of mass."""
    return list({name: None for form in forms for name in form.points if isinstance(name, MassModel)})


class _Moments:
    """All points at some moments, with the middles and the centre of mass behind them."""

    def __init__(self, body: BodyPlaces, asked: Mapping[AtMoment, Moment], exact: bool) -> None:
        self._errors = body.errors  # not the body, which holds on to what is read here
        self._each = {(m.frame, m.seconds): m for m in asked.values()}
        self._at = {key: n for n, key in enumerate(self._each)}
        self._exact = exact
        frames, times = zip(*self._each, strict=True)
        points = body.table.on(frames) if exact else body.table.between(frames, times)
        models = models_of(form for form, _, _ in asked)
        self._place = {name: column for column, name in enumerate((*points.place, *MIDDLES, *models))}
        self._centres: dict[tuple[str, int], CentreOfMass] = {}
        added = [self._middle(points, joint) for joint in MIDDLES]
        added += [self._mass(points, model) for model in models]
        known = (points.there, points.xy, points.own, points.rate, points.shared, points.guessed)
        self._there, self._xy, self._own, self._rate, self._shared, self._guessed = (
            np.concatenate([one, *(extra[:, None] for extra in extras)], axis=1)
            for one, extras in zip(known, zip(*added, strict=True), strict=True)
        )
        self._under = self._under_skin()
        self._in_part = np.zeros(self._there.shape, np.bool_)
        for (name, n), centre in self._centres.items():
            self._in_part[n, self._place[name]] = centre.partial
        parts = [
            [((change * source.u) ** 2, source.tag) for source, change in m.time.derivatives.items()]
            for m in self._each.values()
        ]
        self._late = np.array([sum(square for square, _ in of) for of in parts])
        self._late_boxed = np.array([sum(s * s for s, tag in of if tag == RECTANGULAR) for of in parts])
        self._boxed = [n for n, source in enumerate(body.sources) if source.tag == RECTANGULAR]
        self._lasting = [n for n, source in enumerate(body.sources) if source.lasting]

    def read(self, asked: Mapping[AtMoment, Moment]) -> dict[AtMoment, FormRead]:
        """The forms whose points are all there."""
        alike: dict[tuple[Read, int], list[AtMoment]] = {}
        for key in asked:
            if all(name in self._place for name in key[0].points):
                alike.setdefault((key[0].read, len(key[0].points)), []).append(key)
        found: dict[AtMoment, FormRead] = {}
        for (read, _), keys in alike.items():
            at = np.array([self._at[key[1:]] for key in keys])[:, None]
            points = np.array([[self._place[name] for name in key[0].points] for key in keys])
            whole = self._there[at, points].all(axis=1)
            held = [keys[n] for n in np.flatnonzero(whole).tolist()]
            if held:
                found.update(zip(held, self._read(read, held, at[whole], points[whole]), strict=True))
        return found

    def _read(self, read: Read, keys: Sequence[AtMoment], at: Whole, points: Whole) -> list[FormRead]:
        values, changes = read(self._xy[at, points])
        moved = np.einsum("kqa,kqas->ks", changes, self._shared[at, points])
        own = ((changes * self._own[at, points]) ** 2).sum(axis=(1, 2))
        under = ((changes * self._under[at, points]) ** 2).sum(axis=(1, 2))
        rates = (changes * self._rate[at, points]).sum(axis=(1, 2))
        squares, late = moved**2, rates**2
        row = at[:, 0]
        variance = squares.sum(axis=1) + own + under + late * self._late[row]
        boxed = (squares[:, self._boxed] ** 2).sum(axis=1) + late**2 * self._late_boxed[row]
        lasting = np.sqrt(squares[:, self._lasting].sum(axis=1)).tolist()
        in_part, guessed = (np.asarray(of[at, points].any(axis=1)) for of in (self._in_part, self._guessed))
        found = []
        for n, spread in enumerate(spreads(variance, boxed)):
            key = keys[n]
            write = partial(self._written, key, changes[n], moved[n], own[n], rates[n])
            number = WorkedOut(float(values[n]), spread, write, lasting[n])
            frames = (key[1],) if self._exact else (key[1] - 1, key[1])
            found.append(FormRead(number, frames, bool(in_part[n]), bool(guessed[n])))
        return found

    def _written(
        self, key: AtMoment, changes: Floats, moved: Floats, own: float, rate: float
    ) -> dict[Source, float]:
        """How a form changes with each source. ``own``: the variance of its points' own errors."""
        form, moment = key[0], self._each[key[1:]]
        parts = self._errors.shared_parts(moved.tolist())
        parts[normal(math.sqrt(own))] = 1.0
        if self._errors.in_metres:
            for name, change in zip(form.points, changes.tolist(), strict=True):
                for (x, y), share in self._anatomy(name, self._at[key[1:]]):
                    for source, along in ((x, change[0]), (y, change[1])):
                        parts[source] = parts.get(source, 0.0) + share * along
        for source, change in moment.time.derivatives.items():
            parts[source] = rate * change
        return parts

    def _anatomy(self, name: str, at: int) -> list[tuple[tuple[Source, Source], float]]:
        """Where a point lies under the skin: errors along each axis, and the share of each."""
        if name in MIDDLES:
            return [(self._errors.anatomy(f"{side}_{name}"), 0.5) for side in Side]
        if isinstance(name, MassModel):
            return [self._errors.anatomy_of(self._centres[name, at].weights)]
        return [(self._errors.anatomy(name), 1.0)]

    def _under_skin(self) -> Floats:
        """Standard uncertainty of where each point lies under the skin, (n, p, 1)."""
        under = np.zeros((len(self._each), len(self._place), 1))
        if not self._errors.in_metres:
            return under
        for name, column in self._place.items():
            if not isinstance(name, MassModel):
                under[:, column] = math.hypot(*(share * x.u for (x, _), share in self._anatomy(name, 0)))
        for (name, n), centre in self._centres.items():
            (x, _), share = self._errors.anatomy_of(centre.weights)
            under[n, self._place[name]] = share * x.u
        return under

    def _middle(self, points: PointsAt, joint: str) -> tuple[npt.NDArray[np.generic], ...]:
        """The middle of both sides: whether it is there, its place, own errors, rate, shared errors and
        whether it is a guess.
        """
        names = [f"{side}_{joint}" for side in Side]
        if any(name not in points.place for name in names):
            return self._nowhere()
        one, other = (points.place[name] for name in names)

        def mean(of: Floats) -> Floats:
            out: Floats = (of[:, one] + of[:, other]) / 2
            return out

        return (
            points.there[:, one] & points.there[:, other],
            mean(points.xy),
            np.hypot(points.own[:, one], points.own[:, other]) / 2,
            mean(points.rate),
            mean(points.shared),
            np.zeros(len(self._each), np.bool_),
        )

    def _mass(self, points: PointsAt, model: MassModel) -> tuple[npt.NDArray[np.generic], ...]:
        """The centre of mass at each moment at which all points that stand on a frame beside it stand on
        both, and the same of it as of a middle.
        """
        whole = self._nowhere()
        there, xy, own, rate, shared, guessed = whole
        names = [name for name in POINT_NAMES if name in points.place]
        columns = [points.place[name] for name in names]
        alike: dict[bytes, list[int]] = {}
        standing = points.standing[:, columns]
        on_both = (standing == points.there[:, columns]).all(axis=1)
        for n in np.flatnonzero(on_both).tolist():
            alike.setdefault(standing[n].tobytes(), []).append(n)
        for kind, at in alike.items():
            have = [name for name, stands in zip(names, kind, strict=True) if stands]
            centre = centre_of_mass(model, have)
            if isinstance(centre, NoValue):
                continue
            weight = np.array(list(centre.weights.values()))
            of = np.ix_(at, [points.place[name] for name in centre.weights])
            of_shape = len(at), len(weight)
            there[at] = True
            xy[at] = np.matmul(weight, points.xy[of])
            left_out = centre.u_m if centre.partial else 0.0
            own[at] = np.sqrt(np.matmul(weight**2, points.own[of] ** 2) + left_out**2)
            rate[at] = np.matmul(weight, points.rate[of])
            shared[at] = np.matmul(weight, points.shared[of].reshape(*of_shape, -1)).reshape(len(at), 2, -1)
            guessed[at] = points.guessed[of].any(axis=1)
            for n in at:
                self._centres[model, n] = centre
        return whole

    def _nowhere(self) -> tuple[npt.NDArray[np.generic], ...]:
        count, sources = len(self._each), len(self._errors.sources)
        nowhere = np.zeros(count, np.bool_)
        return (
            nowhere,
            *(np.zeros((count, 2)) for _ in range(3)),
            np.zeros((count, 2, sources)),
            nowhere.copy(),
        )
