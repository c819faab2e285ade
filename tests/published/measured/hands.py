"""Lines on hold and hands: section 2 of the collection of measured data."""

from __future__ import annotations

import math
from pathlib import Path

from solver.assess.problem import problem_of
from solver.case.hand_strength import RHEUMATOID_SHARE, WOMEN_OF_MEN, hand_pull_n, pinch_n
from solver.case.rule_set import rules_of
from solver.case.rules import Peel
from solver.choose.check import check
from tests.published.check import Known
from tests.published.conflicts import starter
from tests.published.measured.mouths import mouth
from tests.published.measured.row import Row, Standing

GERIATR = "BMC Geriatr 2018;18:266, n = 244"
RYDHOLM = "Rydholm, Arthritis Res Ther 2023, n = 215"
PINCH_RA = "Adv Rheumatol 2018, s42358-018-0020-1, n = 121 and controls"
MATHIOWETZ = "Mathiowetz et al., Arch Phys Med Rehabil 1985;66:69-74, n = 638"
IMRHAN = "Imrhan, Hum Factors 1989, 50 people of 60 to 89"
GECKILI = "Geckili et al., Int J Oral Maxillofac Implants 2015;30:397-402, 55 wearers"
QUALITATIVE = "J Oral Implantol 2017;43(6):476, 22 people, qualitative"
NAERT = "Naert 2004, ten-year wearers; van Kampen 2003"
SALIVA = "Jpn J Gerodont 29:21, 14 dentate people, upper plate"
JANSEN = "Jansen 2008; government strength report, pinch-pull sheet"
DERIVED = "friction of 0.3 to 0.5, assumed, on the pinch of women of 75"

WORDING = Path(__file__).parents[3] / "cli" / "wording"
PULL = starter().defaults.pull_n


def ceilings() -> float:
    """How many rules set a limit above to what a hand of usual strength must pull."""
    case = mouth({"r": 43, "l": 33}, {"A": ("r", "l")})
    told = case.model_copy(update={"patient": case.patient.model_copy(update={"hand": "usual"})})
    problem = problem_of(told, starter())
    return float(sum(isinstance(rule, Peel) for rule in rules_of(problem.case, problem.catalogue, problem.purse)))


def promised() -> float:
    """Words of satisfaction or comfort in what plans say of hold."""
    said = (path.read_text(encoding="utf-8").lower() for path in sorted(WORDING.glob("*.py")))
    return float(sum(text.count("satisf") + text.count("comfort") for text in said))


def held_bare() -> float:
    """What an upper plan with nothing fitted is credited with, N."""
    return check(mouth({"r": 13, "l": 23}, {"A": ("r", "l")}, arch="upper"), starter(), {}).plan.high_n


ROWS = (
    Row("2.1", "words that promise satisfaction for more hold", GECKILI, Known.READ, promised, (0.0, 0.0),
        Standing.AGREES, "retention of the day was not related to satisfaction"),
    Row("2.2", "limits above to what a plan may take to pull out", QUALITATIVE, Known.READ, ceilings, (1.0, 2.0),
        Standing.AGREES, "over-retention was named as bad: a ceiling is due"),
    Row("2.3", "least hold of a whole denture by default, N", NAERT, Known.READ,
        lambda: starter().defaults.hold_n.value, (2.2, 8.1), Standing.AGREES,
        "2.2 N of poorly kept magnets in contented wearers, 8.1 of new ones; no paper tests a floor"),
    Row("2.4", "hold that an upper plan with nothing fitted is credited with, N", SALIVA, Known.READ, held_bare,
        (0.0, 17.7), Standing.AGREES, "0.9 to 17.7 N on saliva alone, or nothing: nothing is credited"),
    Row("2.6", "pinch of the oldest women over their grip, N / N", GERIATR, Known.READ,
        lambda: pinch_n(85).high / 162.0, (0.0, 1.0), Standing.AGREES, "grip 218 falling to 162 N; a pinch is less"),
    Row("2.6", "share of grip left by rheumatoid arthritis, lower end", RYDHOLM, Known.READ,
        lambda: RHEUMATOID_SHARE.interval.low, (0.385, 0.395), Standing.AGREES, "39 % at diagnosis"),
    Row("2.6", "share of grip left by rheumatoid arthritis, upper end", RYDHOLM, Known.READ,
        lambda: RHEUMATOID_SHARE.interval.high, (0.555, 0.565), Standing.AGREES, "56 % after five years"),
    Row("2.6", "weak over usual hand", PINCH_RA, Known.READ,
        lambda: hand_pull_n("weak").high / hand_pull_n("usual").high, (0.0, 1.0), Standing.AGREES,
        "pinch lower, P < .01; newtons not in the abstract"),
    Row("2.6", "pinch at 20 over that at 59", MATHIOWETZ, Known.READ,
        lambda: pinch_n(20).low / pinch_n(59).low, (0.99, 1.01), Standing.AGREES, "steady from 20 to 59"),
    Row("2.6", "pinch at 60 over that at 79", MATHIOWETZ, Known.READ,
        lambda: pinch_n(60).low / pinch_n(79).low, (1.0 + 1e-9, math.inf), Standing.AGREES, "falls from 60 to 79"),
    Row("2.6", "tip pinch of women of 75 and over, N", MATHIOWETZ, Known.MEMORY,
        lambda: pinch_n(75).low, (42.0, 44.0), Standing.AGREES, "about 43 N, right"),
    Row("2.6", "key pinch of women of 75 and over, N", MATHIOWETZ, Known.MEMORY,
        lambda: pinch_n(75).high, (53.0, 57.0), Standing.AGREES, "56 N; palmar 53 N lies between"),
    Row("2.6", "women over men", IMRHAN, Known.READ,
        lambda: WOMEN_OF_MEN.middle, (0.68, 0.70), Standing.AGREES, "69 % in adults"),
    Row("2.6", "side over tip pinch", IMRHAN, Known.READ,
        lambda: pinch_n(70).high / pinch_n(70).low, (1.0, math.inf), Standing.AGREES, "lateral above pulp pinch"),
    Row("2.6 open", "pull of a usual hand of 75, middle, N", JANSEN, Known.READ,
        lambda: sum(hand_pull_n("usual", 75)) / 2, None, Standing.OPEN, "pinch-pull measured; tables not seen"),
    Row("2.6 derived", "pull of a woman of 75, least, N", DERIVED, Known.DERIVED,
        lambda: hand_pull_n("usual", 75).low, (25.5, 26.5), Standing.AGREES, "0.6 of 43 N"),
    Row("2.6 derived", "pull of a woman of 75, most, N", DERIVED, Known.DERIVED,
        lambda: hand_pull_n("usual", 75).high, (55.5, 56.5), Standing.AGREES, "1.0 of 56 N"),
    Row("2.6 derived", "pull with rheumatoid hands, least, N: from here on a warning is due", DERIVED, Known.DERIVED,
        lambda: hand_pull_n("weak", 75).low, (9.5, 10.5), Standing.AGREES, "39 % of 26 N"),
    Row("2.6 derived", "pull with rheumatoid hands, most, N", DERIVED, Known.DERIVED,
        lambda: hand_pull_n("weak", 75).high, (30.5, 31.5), Standing.AGREES, "56 % of 56 N"),
    Row("2.6 defaults", "what a weak hand is taken to manage, N", DERIVED, Known.DERIVED,
        lambda: PULL.weak, (10.0, 31.0), Standing.AGREES, "within the derived band"),
    Row("2.6 defaults", "what a usual hand is taken to manage, N", DERIVED, Known.DERIVED,
        lambda: PULL.usual, (26.0, 56.0), Standing.AGREES, "within the derived band"),
    Row("2.6 defaults", "what a strong hand is taken to manage, N", f"{DERIVED}; {IMRHAN}", Known.DERIVED,
        lambda: PULL.strong, (37.0, 81.0), Standing.AGREES, "men: the usual band over 0.69"),
)  # fmt: skip
