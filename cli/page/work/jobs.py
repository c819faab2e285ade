"""What the page asks of the solver: each job turns one text of a case into named fragments of markup."""

from __future__ import annotations

import base64
import datetime
import json
from collections import deque
from collections.abc import Callable, Mapping

from catalogue.mistakes import InputError
from cli.draw.legend import legend
from cli.draw.motion import motion
from cli.draw.overhead import overhead
from cli.exit import BadInput
from cli.json_out.envelope import headed
from cli.json_out.whole import planned
from cli.page.work.answer_cache import Library, Worked
from cli.page.work.case_words import comparison
from cli.page.work.fragments import fragment
from cli.page.work.manual_mix import fitted
from cli.page.work.messages import Asked, Done, Fragments, Outcome, Unfit
from cli.page.work.scan_job import scan_job
from cli.report.drawn import Markup, drawn
from cli.report.page import PAPERS, html, pdf
from cli.report.sheet import SECTIONS, origin_of, sheet_of
from cli.terminal import comparison as against
from cli.terminal import questions as ask_words
from cli.terminal import waivers as give_words
from cli.wording import sensitivity as hangs_words
from cli.wording.numbers import figures_of
from cli.wording.reasons import reasons
from solver.assess.assessment import Assessment
from solver.assess.cautions import cautions
from solver.choose.check import Checked
from solver.choose.search import Options
from solver.choose.tiers import tiers
from solver.errors import InternalFault
from solver.explain.comparison import Comparison, Fate
from solver.explain.needs import why
from solver.explain.waivers import Footing, Give
from solver.explore.questions import ask
from solver.fit.bench import NoSuchSite
from solver.fit.proposal import BadPut, read_put

PATIENCE_S = 20.0
SCALE = 1.0
"""Of the view from above: smaller than on paper, so that its letters stay legible in a column of a screen."""


def attempt(asked: Asked, library: Library) -> Outcome:
    """One job, whatever comes of it; a fault of ours is told without its inner workings."""
    try:
        if asked.job == "scan":
            return Done(scan_job(asked, library.bars))
        return Done(JOBS[asked.job](library.worked(asked), asked.more))
    except BadInput as error:
        return Unfit(error.problem, error.advice)
    except InputError as error:
        first = error.mistakes[0]
        return Unfit(f"{first.where}: {first.problem}" if first.where else first.problem, first.advice)
    except Exception as error:
        what = error.what if isinstance(error, InternalFault) else type(error).__name__
        return Unfit(
            f"internal fault, no answer is given: {what}", "this is a fault of regrip, not of the case", True
        )


def plan_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The answer in short: the sentence, the plan, the questions, what has to give."""
    found, voice = worked.answer, worked.voice
    facts = {"found": found, "plan": found.best, "say": voice}
    return {
        "status": found.status.value,
        "verdict": fragment("verdict", **facts),
        "glance": fragment("glance", **facts),
        "plan": fragment("plan", **facts),
        "asks": fragment("asks", **facts),
    }


def view_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The drawing, of the plan or of the mix put by hand, the motion where it binds, and that mix judged."""
    hand = worked.hand_plan
    as_hand = more.get("show") == "hand" and hand is not None
    shown = hand if as_hand else worked.answer.best
    problem, figures = worked.answer.problem, worked.voice.figures
    return {
        "drawing": fragment(
            "drawing",
            above=drawn(overhead(problem, shown, figures, "above", SCALE)),
            key=drawn(legend(shown, "key", columns=1)),
            by_hand=as_hand,
            some_by_hand=hand is not None,
        ),
        "hand": fragment(
            "hand", say=worked.voice, checked=worked.by_hand, is_checked=isinstance(worked.by_hand, Checked),
            fitted=fitted(worked.by_hand, worked.voice) if isinstance(worked.by_hand, Checked) else (),
            motions=_motions(worked, hand, "hand"),
        ),
        "motion": fragment("motion", motions=_motions(worked, worked.answer.best, "plan")),
    }  # fmt: skip


def _motions(worked: Worked, plan: Assessment | None, name: str) -> list[Markup]:
    """How the base moves under the demands that bind."""
    if plan is None or not plan.mix:
        return []
    problem, voice = worked.answer.problem, worked.voice
    return [
        drawn(motion(problem, plan, reach, voice.figures, f"{name}-{reach.demand}")) for reach in voice.bound(plan)
    ]


def more_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """What can wait: worth of the questions, why not, the ways out, cautions."""
    found, voice = worked.answer, worked.voice
    best, case = found.best, worked.desk.case
    asked = ask(case, worked.desk.catalogue, Options(time_limit_s=PATIENCE_S))
    return {
        "worth": fragment("worth", say=voice, asked=asked, lines=lambda entry: list(ask_words.told(asked, entry))),
        "out": fragment("out", say=voice, reasons=reasons(worked.out, voice.figures, redacted=False)),
        "ways": fragment("ways", say=voice, ways=worked.ways, years=case.money.years),
        "cautions": fragment(
            "cautions", say=voice, cautions=best.cautions if best else cautions(case, worked.desk.catalogue, ())
        ),
    }


def give_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """Every smallest set of rules to give up, with what it opens."""
    found = Give(worked.desk.case, worked.desk.catalogue, Options(time_limit_s=PATIENCE_S))
    deque(found.steps(), maxlen=0)
    chain = give_words.because(found.problem, found, worked.desk.document)
    lines = [list(give_words.told(found, way)) for way in found.ways]
    heads = [give_words.head(found, way) for way in found.ways]
    return {
        "give": fragment(
            "give", say=worked.voice, found=found, chain=chain, ways=list(zip(heads, found.ways, lines, strict=True)),
            ending=give_words.ending(found), cheaper=found.footing is Footing.FITS,
        )
    }  # fmt: skip


def why_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """Why an attachment is or is not at a site; raises `BadInput` for one that cannot go there."""
    site, attachment = more.get("site", ""), more.get("attachment", "")
    case, catalogue, voice = worked.desk.case, worked.desk.catalogue, worked.voice
    try:
        put = read_put(attachment)
        reasons_found = why(case, catalogue, site, put)
        comparison_made = Comparison(case, catalogue, Options(time_limit_s=PATIENCE_S))
        entry = comparison_made.put(site, put)
    except (BadPut, NoSuchSite) as error:
        raise BadInput(error.problem, error.advice) from None
    told = [] if entry.fate is Fate.RULED_OUT else against.sentences(comparison_made.answer, entry)
    return {"why": fragment("why", say=voice, found=reasons_found, entry=entry, sentences=told)}


def compare_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The best plans and the mix put by hand, side by side."""
    plans = list(worked.answers.plans)
    names = ["Plan", *(f"Assessment {number}" for number in range(2, len(plans) + 1))]
    hand = worked.hand_plan
    if hand is not None:
        plans, names = [*plans, hand], [*names, "By hand"]
    picked = [int(one) for one in more.get("which", "").split(",") if one.isdigit() and int(one) < len(plans)]
    if not picked:
        picked = [0, len(plans) - 1] if len(plans) > 1 else list(range(len(plans)))
    rows = comparison(worked.voice, [plans[one] for one in picked]) if picked else []
    return {"compare": fragment("compare", names=names, picked=picked, rows=rows)}


def hangs_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """How far the choice hangs on figures that nobody stands behind, and what would change it."""
    found, hangs = worked.answer, worked.hangs
    return {
        "resting": fragment("resting", say=worked.voice, remark=hangs_words.remark(hangs)),
        "hangs": fragment(
            "hangs", say=worked.voice, flips=hangs_words.flips(hangs, found.problem, found.best),
            note=hangs_words.bandless(hangs),
        ),
    }  # fmt: skip


def json_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The answer as `regrip plan --json` gives it."""
    found = worked.answer
    content = planned(found, worked.out, worked.ways, tiers(found, Options(time_limit_s=PATIENCE_S)), worked.hangs)
    whole = headed("plan", content, found.problem.case.money.currency)
    return {"json": json.dumps(whole, indent=2, ensure_ascii=False)}


def sheet_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The report, the work order or the patient page as HTML; raises `BadInput` for sections that are not there."""
    wanted = [name for name in SECTIONS if name in more.get("only", ",".join(SECTIONS)).split(",")]
    paper = more.get("paper", PAPERS[0])
    if not wanted or paper not in PAPERS:
        raise BadInput("there is no such sheet", f"known: {', '.join(SECTIONS)}; paper {', '.join(PAPERS)}")
    desk, redacted = worked.desk, more.get("redact") == "yes"
    day = datetime.date.today()
    origin = origin_of(desk, worked.name, worked.text.encode(), day, redacted=redacted)
    ways = worked.ways if "case" in wanted else ()
    return {"sheet": html(sheet_of(worked.answer, ways, origin, figures_of(None, desk.case)), wanted, paper)}


def pdf_job(worked: Worked, more: Mapping[str, str]) -> Fragments:
    """The same as PDF, in base 64."""
    return {"pdf": base64.b64encode(pdf(sheet_job(worked, more)["sheet"])).decode()}


JOBS: Mapping[str, Callable[[Worked, Mapping[str, str]], Fragments]] = {
    "plan": plan_job,
    "view": view_job,
    "more": more_job,
    "give": give_job,
    "why": why_job,
    "compare": compare_job,
    "hangs": hangs_job,
    "json": json_job,
    "sheet": sheet_job,
    "pdf": pdf_job,
}
