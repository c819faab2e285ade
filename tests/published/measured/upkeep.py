"""Lines on wear, aftercare, resorption and what they cost: sections 4 and 6 of the collection of measured data."""

from __future__ import annotations

from functools import cache, partial

from solver.assess.problem import Problem, problem_of
from solver.assess.years import aftercare
from solver.case.money import Cost
from solver.fit.pricing import rework_cost
from solver.fit.upkeep import renewed_times
from tests.published.check import Known
from tests.published.conflicts import starter
from tests.published.measured.mouths import fitted, mouth
from tests.published.measured.row import NO_LESS, Row, Standing

WALTON = "Walton, MacEntee, Glick, Int J Oral Maxillofac Implants 2002;17:391-398, 64 people, one year"
FOLLOW_UP = (
    "Walton 2002 (0.84 to 1.83); Cristache 2012 (1.70); Kleis 2010 (1.75): events a patient and year, two balls"
)
STUDS = "Cristache 2012 (0.27), Kleis 2010 (1.5 in the first year): events a patient and year, two low studs"
MAGNETS = "Cristache 2012 (0.13), two magnets, five years; Leem 2016, 61 magnets"
VAN_KAMPEN = "van Kampen et al., Clin Oral Implants Res 2003;14:720-726, 18 people, three months"
REMADE = "Slot et al. 2022, 46 upper jaws, ten years; Rentsch-Kollar et al. 2010, 147 lower jaws past ten years"
RENTSCH = "Rentsch-Kollar et al. 2010, 147 people past ten years"
RELINES = "J Oral Implantol 2011;37:697, 59 people, one year"
BONE = "Kordatzis, Wright, Meijer 2003;18:447-452; Clin Oral Implants Res Dec 2015, n = 23; Egypt Dent J 2021;67:2443"
CLIP_WEAR = "BMC Oral Health 2022, s12903-022-02262-7, n = 12 each"
STOKER = "Stoker, Wismeijer, van Waas, J Dent Res 2007;86:276-280, 110 people, eight years"

YEARS = 10
BALLS, CLIPS = "ball-flex-2.25", "clip-round-polymer-5"


def events(entry: str, years: int = YEARS) -> float:
    """Services of two such parts a year, as a plan over some years counts them: between its fewest and its most."""
    service = starter().attachments[entry].service
    assert service is not None
    return 2 * sum(renewed_times(service, years)) / 2 / years


def minutes(entry: str) -> float:
    """Minutes at the chair a year for two such parts, middle of their band."""
    service = starter().attachments[entry].service
    assert service is not None
    return events(entry) * sum(service.work.chair) / 2


def times(what: str, years: int) -> tuple[int, int]:
    """How often the denture takes something within some years, fewest and most."""
    (due,) = [due for due in starter().defaults.denture if what in due.what]
    return renewed_times(due, years)


def visits(end: int) -> float:
    """Regular visits a year, at the fewest (0) or the most (1)."""
    recall = starter().defaults.recall
    assert recall is not None
    return 12 / recall.months[1 - end]


def relines_worked_out(bone_mm: float) -> float:
    """Months until so much bone a year opens a gap of 0.3 mm."""
    return 12 * 0.3 / bone_mm


def relines_by_class() -> float:
    """Relines that a plan counts with balls on the ends over those with a clip, eight years."""
    problem = _two_implants()
    counted = []
    for entries in ({"er": BALLS.replace("2.25", "2.2"), "el": BALLS.replace("2.25", "2.2")}, {"A": CLIPS}):
        found = aftercare(problem, fitted(problem.case, entries))
        counted.append(sum(sum(due.times) for due in found.denture if "reline" in due.what))
    return counted[0] / counted[1]


def reline_months() -> float:
    """Middle of the interval that plans count with."""
    (due,) = [due for due in starter().defaults.denture if "reline" in due.what]
    return sum(due.months) / 2


def loss_a_year(entry: str) -> float:
    """Share of hold that a year of four insertions a day takes at most."""
    wear = starter().attachments[entry].wear
    assert wear is not None
    return float(1 - (1 - wear.loss[1]) ** (4 * 365 / wear.cycles))


@cache
def _two_implants() -> Problem:
    case = mouth({"r": 43, "l": 33}, {"A": ("r", "l")}, {"er": ("r", 8.0), "el": ("l", 8.0)})
    eight = case.money.model_copy(update={"years": 8})
    return problem_of(case.model_copy(update={"money": eight}), starter())


def aftercare_share(*, new: bool) -> float:
    """Share of all money within eight years that is spent after fitting: a clip on a new bar, or on the old one."""
    problem = _two_implants()
    mix = fitted(problem.case, {"A": CLIPS})
    made = starter().defaults.new_bar
    bar = rework_cost(made, problem.purse) if new and made else Cost()
    first, all_of_it = problem.cost_of(mix) + bar, problem.years_cost_of(mix) + bar
    return 1 - (first.low + first.high) / (all_of_it.low + all_of_it.high)


def _loss(entry: str, end: int) -> float:
    wear = starter().attachments[entry].wear
    assert wear is not None
    return wear.loss[end]


ROWS_4 = (
    Row("4 A", "two clips on one bar: services a year", WALTON, Known.DERIVED, partial(events, CLIPS), (0.2, 0.6),
        Standing.AGREES, "0.20 at least, 0.22 if Poisson; the catalogue takes its months from there"),
    Row("4 A", "two metal clips: services a year", WALTON, Known.DERIVED, partial(events, "clip-round-metal-5"),
        (0.2, 0.6), Standing.AGREES, "as above"),
    Row("4 A", "two balls with a flexing female: services a year", FOLLOW_UP, Known.DERIVED, partial(events, BALLS),
        (1.5, 2.0), Standing.AGREES, "three follow-up studies; the catalogue takes its months from there"),
    Row("4 A", "two balls with a metal female: services a year", FOLLOW_UP, Known.DERIVED,
        partial(events, "ball-metal-2.25"), (1.5, 2.0), Standing.AGREES, "as above"),
    Row("4 A", "two studs: services a year", STUDS, Known.DERIVED, partial(events, "stud-single-medium"), (0.3, 1.5),
        Standing.AGREES, "the two trials differ fivefold"),
    Row("4 A", "two magnets: services a year", MAGNETS, Known.DERIVED, partial(events, "magnet-flat-single"),
        (0.1, 0.5), Standing.AGREES, "five years; pull lost clearly past nine"),
    Row("4 A months", "two magnets in the first three months: services a year", VAN_KAMPEN, Known.DERIVED,
        partial(events, "magnet-flat-single"), (1.2, 3.6), Standing.LIMIT,
        "2.4 a year at the start, half to either side; plans spread services evenly and know no bad beginning"),
    Row("4 B", "services, balls over clips", WALTON, Known.DERIVED, lambda: events(BALLS) / events(CLIPS),
        (4.0, 10.0), Standing.AGREES, "4 at least, 8 if Poisson: this ratio decides clip against ball on cost"),
    Row("4 C", "dentures made anew in ten years, fewest", REMADE, Known.READ, lambda: times("anew", 10)[0],
        (0.0, 0.25), Standing.AGREES, "25 to 45 % of them; a plan counts none or one"),
    Row("4 C", "dentures made anew in ten years, most", REMADE, Known.READ, lambda: times("anew", 10)[1],
        (0.45, 1.0), Standing.AGREES, "as above"),
    Row("4 C", "dentures made anew in five years, most", REMADE, Known.READ, lambda: times("anew", 5)[1], (0.0, 0.25),
        Standing.AGREES, "over 80 % of lower ones are in service past ten years"),
    Row("4 D", "regular visits a year, fewest", RENTSCH, Known.READ, partial(visits, 0), (0.9, 3.9), Standing.AGREES,
        "2.4 with the dentist and 1.5 with the hygienist in a clinic with recall; one or two are planned"),
    Row("4 D", "regular visits a year, most", RENTSCH, Known.READ, partial(visits, 1), (2.0, 3.9), Standing.AGREES,
        "as above: the price of regular care is at the low end"),
    Row("4 relines", "relines with balls over those with a bar", RELINES, Known.READ, relines_by_class, (1.01, 5.0),
        Standing.LIMIT, "more with balls (P = .03), how many was not seen; one interval serves both here"),
    Row("4 wear", "soft clip: share of hold lost, least", CLIP_WEAR, Known.READ, lambda: _loss(CLIPS, 0),
        (-0.04, 0.0), Standing.AGREES, "nylon gained 2.99 % in three simulated years"),
    Row("4 wear", "soft clip: share of hold lost in its test, most", CLIP_WEAR, Known.READ, lambda: _loss(CLIPS, 1),
        (0.0, 0.3), Standing.AGREES, "the 58.66 % of a stiff polymer is another class and must not stand for it"),
    Row("4 resorption", "months until 0.14 mm a year open 0.3 mm", BONE, Known.DERIVED,
        partial(relines_worked_out, 0.14), (12.0, 60.0), Standing.AGREES, "two years, one to five"),
    Row("4 resorption", "interval of relines in a plan over the same, middles", BONE, Known.DERIVED,
        lambda: reline_months() / relines_worked_out(0.14), (0.5, 2.4), Standing.AGREES,
        "spread of 0.02 to 0.4 mm a year; 0.74 mm in five years with a soft reline"),
)  # fmt: skip

ROWS_6 = (
    Row("6", "new bar with a clip: share of all money in eight years that is spent after fitting", STOKER, Known.READ,
        partial(aftercare_share, new=True), (0.15, 0.35), Standing.AGREES,
        "75 % of the total is spent at the start; prices here are invented"),
    Row("6 sign", "the same share for a clip on the old bar over that on a new one", STOKER, Known.DERIVED,
        lambda: aftercare_share(new=False) / aftercare_share(new=True), NO_LESS, Standing.AGREES,
        "little is spent at the start of a second use, so the share must be larger"),
    Row("6 minutes", "chair time a year of repairs, balls over clips", WALTON, Known.READ,
        lambda: minutes(BALLS) / minutes(CLIPS), (4.0, 10.0), Standing.AGREES, "about 8 times"),
)  # fmt: skip
