"""Lines on survival, rules of experts and cases of used parts: sections 5 and 7 of the measurements."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, partial
from pathlib import Path

from cli.files.desk import open_desk
from solver.assess.problem import problem_of
from solver.assess.remarks import DisputedSpace, NarrowGap
from solver.case.measure import Measure
from solver.case.rule_set import LEAST_SUPPORTS, rules_of
from solver.case.rules import Unsplint
from solver.case.schema import Case, Patient
from solver.choose.check import check
from solver.choose.plan import plan
from solver.explore.strategies import Strategy, Way, strategies
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.fit.proposal import read_put
from solver.handbook.wear import survival_share
from tests.published.check import Known
from tests.published.conflicts import starter
from tests.published.measured.mouths import mouth
from tests.published.measured.row import NO_LESS, TRUE, Row, Standing
from tests.published.measured.upkeep import BALLS, CLIPS, events
from tests.published.tables.survival import warned

SLOT = "Slot et al., upper overdentures on four or six, five and ten years, 50 to 66 people"
REVIEWS = "Di Francesco 2021, BMC Oral Health s12903-021-01572-6, 15 studies; Sadowsky, Zitzmann 2016, 23 papers"
STUDS_BAR = "randomized trial of 2019 on four upper implants, 25 and 25, one year (author from memory)"
COURSE = "continuing education course 612 (read in part)"
ATLAS = "oral surgery atlas 2023, chapter 10"
IRISH = "J Irish Dent Assoc, part II, after Mericske-Stern (read in part)"
CONSENSUS = "McGill 2002, York 2009, EAO 2015"
SADOWSKY = "Sadowsky, Zitzmann 2016, 23 papers"
OPINION = "Trakas 2006; Laverty 2017 (openings)"
MOREIRA = "Moreira 2020, one case: worn balls on roots, woman of 80"
LEITE = "Perin Leite et al., J Oral Implantol: parts no longer made, cast balls"
CONVERSION = "conversion report, dentistrytoday.com sp-558234424 (opening)"
MAGAZINE = "trade magazine 2012: two balls damaged by a reline in the mouth"
SOLDERED = "Clin Implant Dent Relat Res 2010;12:26-38: 6 of 11 soldered bars failed within two years"

EXAMPLES = Path(__file__).parents[3] / "docs" / "examples"
VIGNETTES = Path(__file__).parents[2] / "vignettes"
TWO = {"r": 43, "l": 33}
STUD, CLIP = "stud-single-medium", "clip-round-polymer-5"
MAGNET = "magnet-flat-single"


def _usable(case: Case, entry: str) -> list[Candidate]:
    """Where an attachment may go without an answer outstanding."""
    usable = problem_of(case, starter()).fit.usable
    return [c for c in usable if c.attachment.id == entry and c.verdict is Verdict.HOLDS]


def _two(space_mm: float = 16.0, tilt_deg: float = 0.0, connection: str = "documented") -> Case:
    """Two lower implants and a bar, with so much space between ridge and opposing teeth."""
    case = mouth(TWO, {"A": ("r", "l")})
    told = case.model_dump(mode="json", exclude_none=True)
    told["room"] = {"space_mm": space_mm, "top_mm": 3, "breadth_mm": 12}
    for support in told["supports"].values():
        support |= {"tilt_deg": tilt_deg, "connection": connection, "top_mm": 0}
    return Case.model_validate(told, strict=False)


def _bare(case: Case) -> Case:
    """The same without its bar."""
    return case.model_copy(update={"segments": {}})


def fits(space_mm: float, entry: str) -> float:
    """1 where it fits at least once in so much space: a stud without the bar, a clip on it."""
    case = _two(space_mm)
    return float(bool(_usable(_bare(case) if entry == STUD else case, entry)))


def disputed(space_mm: float) -> float:
    """1 where a plan with a stud says that authorities differ on the space."""
    case = _bare(_two(space_mm))
    found = check(case, starter(), dict.fromkeys(TWO, read_put(MAGNET))).plan
    return float(any(isinstance(each, DisputedSpace) for each in found.remarks))


def turning() -> float:
    """Share of the settling that the front reaches with one clip on a straight bar on two implants."""
    return check(_two(), starter(), {"A": read_put(CLIP)}).plan.reach("front")


def in_a_line() -> float:
    """Clips of 8 mm that fit between four lower implants at the incisors."""
    bars = {"A": ("a", "b"), "B": ("b", "c"), "C": ("c", "d")}
    case = mouth({"a": 42, "b": 41, "c": 31, "d": 32}, bars)
    return float(len(_usable(case, "clip-round-polymer-8")))


def plaque() -> float:
    """1 where a plan that keeps a bar over a narrow gap tells of plaque."""
    case = _two()
    touching = case.segments["A"].model_copy(update={"gap_mm": Measure(1.0)})
    low = case.model_copy(update={"segments": {"A": touching}})
    found = check(low, starter(), {"A": read_put(CLIP)}).plan
    return float(any(isinstance(each, NarrowGap) for each in found.remarks))


@cache
def ways(example: str) -> Mapping[Way, Strategy]:
    """The ways out of a worked example."""
    opened = open_desk(str(EXAMPLES / f"{example}.yaml"))
    return {each.way: each for each in strategies(problem_of(opened.case, opened.catalogue))}


def priced(example: str) -> float:
    """How many of the four ways have a price."""
    return float(sum(each.cost is not None for each in ways(example).values()))


def cap_against_new_bar() -> float:
    """High price of a new bar over that of a plan that re-rounds and caps worn balls."""
    found = ways("lower-three-supports")
    kept, new = found[Way.KEEP], found[Way.NEW]
    assert kept.plan
    assert any("cap" in rework.id for c in kept.plan.mix for rework in c.reworks)
    assert kept.cost
    assert new.cost
    return new.cost.high / kept.cost.high


def make_unknown() -> float:
    """Questions on the connection that stand first where the make of two implants is not known."""
    opened = open_desk(str(VIGNETTES / "58-bar-lost-make-unknown.yaml"))
    best = plan(opened.case, opened.catalogue).best
    return float(sum(question.of == "connection" for question in best.questions) if best else 1)


def unsplinting() -> float:
    """1 where the rules of an upper bar on four implants ask that it stays."""
    bars = {"A": ("a", "b"), "B": ("b", "c"), "C": ("c", "d")}
    problem = problem_of(mouth({"a": 14, "b": 12, "c": 22, "d": 24}, bars, arch="upper"), starter())
    asked = rules_of(problem.case, problem.catalogue, problem.purse)
    return float(any(isinstance(rule, Unsplint) for rule in asked))


def guessed() -> float:
    """Share of the sources of the starter catalogue that are no publication."""
    kinds = [source.kind for source in starter().sources.values()]
    return 1 - kinds.count("published") / len(kinds)


def warns(entry: str, word: str) -> float:
    """1 where a step of the starter catalogue warns of something."""
    return float(any(word in caution.lower() for caution in starter().reworks[entry].cautions))


def blocked_out() -> float:
    """1 where the reline that a plan counts with says that the bar is blocked out."""
    return float(any("blocked out" in due.what for due in starter().defaults.denture))


ROWS_5 = (
    Row("5 A", "upper implants left after five years, at 0.42 lost per 100 implant-years, %", SLOT, Known.READ,
        lambda: 100 * survival_share(0.42, years=5.0), (94.0, 100.0), Standing.AGREES,
        "94 to 100 % over the studies"),
    Row("5 A", "upper implants left after ten years, %", SLOT, Known.READ,
        lambda: 100 * survival_share(0.42, years=10.0), (94.1, 100.0), Standing.AGREES,
        "96.1 to 100 %, two points to either side"),
    Row("5 B", "least supports asked of an upper jaw", REVIEWS, Known.READ, lambda: float(LEAST_SUPPORTS["upper"]),
        (4.0, 4.0), Standing.AGREES, "four against six splinted: no difference in survival"),
    Row("5 B", "three upper supports are warned of", REVIEWS, Known.READ, lambda: float(warned(3)), TRUE,
        Standing.AGREES, "fewer than four lose more"),
    Row("5 B", "four upper supports are warned of, as six are not", REVIEWS, Known.READ,
        lambda: float(warned(4) or warned(6)), (0.0, 0.0), Standing.AGREES, "six are not advised over four"),
    Row("5 C", "taking the bar off four upper implants breaks a rule", STUDS_BAR, Known.READ, unsplinting, (0.0, 0.0),
        Standing.OPEN,
        "96.7 against 97.9 % (n.s.), but 0.58 against 0.31 mm of bone and better satisfaction with the bar: the rule "
        "is common practice, and may be given up"),
)  # fmt: skip

ROWS_7 = (
    Row("7 room", "8 mm: a low stud fits", COURSE, Known.READ, partial(fits, 8.0, STUD), (0.0, 0.0), Standing.AGREES,
        "8.5 mm there; 7 in Carpentieri 2019, whom regrip follows, but the stack of stud, base and tooth asks 8.47"),
    Row("7 room", "8 mm: a plan with magnets says that authorities differ", COURSE, Known.READ,
        partial(disputed, 8.0), TRUE,
        Standing.AGREES, "both shown, and which is taken"),
    Row("7 room", "8 mm: a clip on a bar fits", COURSE, Known.READ, partial(fits, 8.0, CLIP), (0.0, 0.0),
        Standing.AGREES, "12 to 14 mm there, 11 in Carpentieri 2019"),
    Row("7 room", "10 mm: a low stud fits", ATLAS, Known.READ, partial(fits, 10.0, STUD), TRUE, Standing.AGREES,
        "9 to 12 mm"),
    Row("7 room", "10 mm: a clip on a bar fits", ATLAS, Known.READ, partial(fits, 10.0, CLIP), (0.0, 0.0),
        Standing.AGREES, "12 to 15 mm"),
    Row("7 room", "13 mm: both fit", ATLAS, Known.READ, lambda: fits(13.0, STUD) * fits(13.0, CLIP), TRUE,
        Standing.AGREES, "both within their spans"),
    Row("7 parallel", "implants parallel: usual studs fit", COURSE, Known.READ,
        lambda: float(bool(_usable(_bare(_two()), STUD))), TRUE, Standing.AGREES, "single attachments when parallel"),
    Row("7 parallel", "implants 15 degrees off: usual studs fit", COURSE, Known.READ,
        lambda: float(bool(_usable(_bare(_two(tilt_deg=15)), STUD))), (0.0, 0.0), Standing.AGREES,
        "a bar when not parallel"),
    Row("7 hygiene", "a bar is advised against where it is not kept clean", COURSE, Known.READ,
        lambda: float("hygiene" in Patient.model_fields), TRUE, Standing.OPEN,
        "a case has no word for it yet; only the gap under the bar is looked at"),
    Row("7 line", "clips of 8 mm that fit among four implants at the incisors", IRISH, Known.READ, in_a_line,
        (0.0, 0.0), Standing.AGREES, "too little room for a clip that holds"),
    Row("7 turning", "one clip on a straight bar on two implants: share of the settling the front reaches", IRISH,
        Known.READ, turning, (0.99, 1.0), Standing.AGREES, "free turning"),
    Row("7 upkeep", "services, single balls over clips", SADOWSKY, Known.READ, lambda: events(BALLS) / events(CLIPS),
        NO_LESS, Standing.AGREES, "solitary ones take more upkeep"),
    Row("7 upkeep", "bar with 1 mm under it: plaque is told of", SADOWSKY, Known.READ, plaque, TRUE,
        Standing.AGREES, "bars take more inflammation"),
    Row("7 number", "least supports asked of a lower jaw", CONSENSUS, Known.SECOND_HAND,
        lambda: float(LEAST_SUPPORTS["lower"]), (2.0, 2.0), Standing.AGREES, "two at least; four on poor mucosa"),
    Row("7 opinion", "share of the catalogue's sources that are no publication", OPINION, Known.READ, guessed,
        (0.5, 1.0), Standing.AGREES, "choice rests on opinion more than evidence; every plan names what it hangs on"),
    Row("7 case", "worn balls: price of a new bar over that of re-rounding and capping", MOREIRA, Known.READ,
        cap_against_new_bar, NO_LESS, Standing.AGREES, "re-shaped and capped, kept: offered, and cheaper"),
    Row("7 case", "implants of unknown make: questions on the connection", LEITE, Known.READ, make_unknown,
        (1.0, 4.0), Standing.AGREES, "no stock part could be had: nothing is ordered before it is known"),
    Row("7 case cast", "a cast ball made to fit is offered", LEITE, Known.READ,
        lambda: float(any("cast" in name for name in (*starter().attachments, *starter().reworks))), TRUE,
        Standing.OPEN, "what was done there; the starter catalogue has no such part"),
    Row("7 case", "bar off for single attachments: it has a price", CONVERSION, Known.READ,
        lambda: float(ways("lower-three-supports")[Way.OFF].cost is not None), TRUE, Standing.AGREES,
        "a real option, with its price"),
    Row("7 case", "ways that stand side by side with a price", MAGAZINE, Known.READ,
        partial(priced, "lower-three-supports"), (4.0, 4.0), Standing.AGREES, "single ones and a bar both offered"),
    Row("7 case", "a reline is planned with the bar blocked out", MAGAZINE, Known.READ, blocked_out, TRUE,
        Standing.AGREES, "a reline without it was the cause"),
    *(
        Row("7 case", f"{name}: solder and pits are warned of", SOLDERED, Known.READ, partial(warns, name, "solder"),
            TRUE, Standing.AGREES, "failed and cracked at the joints")
        for name in ("weld-matrix", "weld-keeper", "thread-bar")
    ),
)  # fmt: skip
