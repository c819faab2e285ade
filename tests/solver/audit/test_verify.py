"""The second look passes sound answers and refuses every corrupted one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from solver.assess.assessment import Assessment, GivenUp, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.audit.certificate import verify
from solver.audit.certificate_steps import check_steps
from solver.case.money import Cost
from solver.case.rules import Covered, EnoughSupports, NeedHolds, NotAllowed, Rule, Unsplint
from solver.case.schema import DEMANDS
from solver.choose.plan import plan
from solver.errors import InternalFault
from solver.fit.candidate import Candidate
from solver.mechanics.movement import Reach
from solver.mechanics.verdicts import MovementVerdict
from tests.referee.random_case import INVENTED, random_world
from tests.solver.small import band, need, part, small_problem, step, stock, waive

SHORT = need("undercut_mm", at_least=0.4, waive=waive(0.2))
SPRUNG = {"hinge_deg": 20, "down_mm": 0.5, "tip_deg": 5, "turn_deg": 5}
CATALOGUE = stock(
    part("clip", movement=SPRUNG, work={"bench": [1, 2], "chair": [1, 1], "source": INVENTED}),
    part("stiff", movement={}),
    part("grips", needs=[need("undercut_mm", at_least=0.4)]),
    part("short", needs=[SHORT]),
    part("tall", stack={"part": 6, "source": INVENTED}),
    part("thin", stack={"part": 6, "source": INVENTED}),
    part("housed", stack={"part": 3, "housing": 2, "spacer": 1, "source": INVENTED}),
    part("long", length_mm=20),
    part("nickel", metals=["Nickel"]),
    part("magnet", "magnet", magnetic=True),
    part("soft", wears_by_grinding=True),
    part("sent", steps=["send"]),
    part("ovoid", needs=[need("section", one_of=["ovoid"])]),
    part("neck", needs=[need("neck_mm", at_least=1)]),
    part("ball", "ball", "end"),
    part("stud", "stud", "support"),
    steps=(
        step("send", "segment", always_with=True, permissions=["send_out"], price=band(1, 1)),
        step("deepen", "segment", changes={"undercut_mm": 0.15}),
    ),
)
PATIENT = {"scans_expected": "yes", "sensitivities": ["nickel"], "bruxism": "yes"}


def problem(**changes: Any) -> Problem:
    asked = {"patient": PATIENT, "opposing": "natural", "allowed": {"send_out": False}}
    return small_problem(CATALOGUE, **{**asked, **changes})


def the(found: Problem, *keys: str) -> tuple[Candidate, ...]:
    every = {c.key: c for site in found.fit.sites for c in site.every}
    return tuple(every[key] for key in keys)


def answer(found: Problem, mix: Sequence[Candidate], waived: Sequence[Rule] = (), **told: object) -> Assessment:
    """A mix that gives up these rules and no others; what is `told` of it stands for what is so."""
    whole = assess(found, Mechanics(found), [found.option(candidate) for candidate in mix])
    vars(whole).update(given_up=tuple(map(GivenUp, waived)), **told)
    return whole


def look(found: Problem, keys: tuple[str, ...], waived: tuple[Rule, ...] = ()) -> None:
    """Verify a mix with its true cost, reaches, verdicts and pulls."""
    verify(answer(found, the(found, *keys), waived))


@pytest.mark.parametrize(
    ("keys", "waived"),
    [
        (("B=clip", "E=ball"), ()),
        (("B=short",), (NeedHolds("B", "undercut_mm"),)),
        (("B=magnet",), (NeedHolds("B", "scans"),)),
        (("B=soft",), (NeedHolds("B", "grinding"),)),
        (("B=sent",), (NotAllowed("send_out"),)),
        (("B=grips + deepen",), ()),
    ],
    ids=[
        "clip and ball",
        "a need waived",
        "a magnet waived",
        "a soft part waived",
        "work waived",
        "an undercut deepened",
    ],
)
def test_a_sound_answer_passes(keys: tuple[str, ...], waived: tuple[Rule, ...]) -> None:
    look(problem(), keys, waived)


def test_every_answer_to_random_cases_passes_though_verify_knows_no_solver() -> None:
    statuses = {plan(*random_world(seed)).status for seed in range(300, 330)}

    assert {Status.FITS, Status.RELAXED} <= statuses


@pytest.mark.parametrize(
    ("fault", "keys", "waived"),
    [
        ("B=grips: need of undercut_mm is refuted by 0.3", ("B=grips",), ()),
        ("B=grips: need of undercut_mm is refuted by 0.3", ("B=grips",), (NeedHolds("B", "undercut_mm"),)),
        ("B=short: need of undercut_mm is refuted by 0.3", ("B=short",), ()),
        ("B=ovoid: need of section is refuted by round", ("B=ovoid",), ()),
        ("B=neck: need of neck_mm is refuted by None", ("B=neck",), ()),
        ("B=tall: room_mm 10 is under 10.5", ("B=tall",), ()),
        ("B=housed: room_mm 10 is under 10.5", ("B=housed",), ()),
        ("B=long: length_mm 16 is under 20", ("B=long",), ()),
        ("B=long: length_mm 16 is under 20", ("B=long",), (NeedHolds("B", "length_mm"),)),
        ("B=nickel puts a metal in the mouth that the patient is sensitive to", ("B=nickel",), ()),
        ("B=magnet is magnetic and scans are expected", ("B=magnet",), ()),
        ("B=soft is soon worn out by a grinder", ("B=soft",), ()),
        ("the plan breaks allowed:send_out", ("B=sent",), ()),
        ("the plan breaks moves:whole", ("B=stiff",), ()),
        ("more than one candidate at a site: ['B', 'B']", ("B=clip", "B=thin"), ()),
        ("the mix needs the bar both on and off", ("B=clip", "R=stud"), ()),
    ],
    ids=[
        "need", "need that none may waive", "need not waived", "word", "no such fact", "room", "housing and spacer",
        "length", "length that none may waive", "metal", "scan", "grinder", "permission", "movement", "two at a site",
        "bar on and off",
    ],
)  # fmt: skip
def test_a_mix_that_does_not_follow_is_a_fault(fault: str, keys: tuple[str, ...], waived: tuple[Rule, ...]) -> None:
    with pytest.raises(InternalFault) as caught:
        look(problem(), keys, waived)

    assert fault == caught.value.what


def test_a_bar_taken_off_in_the_upper_jaw_is_never_silent() -> None:
    upper = problem(arch="upper", wanted={"level_n": 0})

    look(upper, ("R=stud",), (EnoughSupports(4), Unsplint(2)))
    with pytest.raises(InternalFault, match="the plan breaks unsplint"):
        look(upper, ("R=stud",), (EnoughSupports(4),))
    with pytest.raises(InternalFault, match="the plan breaks supports"):
        look(upper, ("R=stud",), (Unsplint(2),))


@pytest.mark.parametrize(
    ("fault", "changes"),
    [
        ("the plan breaks budget", {"money": {"cap": 12}}),
        ("the plan breaks level", {"wanted": {"level_n": 5.1}}),
        ("the plan breaks peel", {"wanted": {"most_n": 2.4}}),
        ("the plan breaks pulls:centre", {"wanted": {"hold_n": 2.8}}),
        ("the plan breaks pulls:left", {"wanted": {"pull_n": {"left": 1.6}}}),
        ("the plan breaks cover:E", {"ends": {"E": {"room_mm": 1}}}),
    ],
    ids=["budget", "level", "peel", "centre", "side", "cover"],
)
def test_a_limit_that_is_broken_is_a_fault(fault: str, changes: dict[str, Any]) -> None:
    """One clip of 5 to 8 N takes 2.76 N at the centre, 1.52 N at a side and up to 2.44 N when peeled."""
    with pytest.raises(InternalFault) as caught:
        look(problem(**changes), ("B=clip",))

    assert fault == caught.value.what


def test_limits_that_are_just_kept_are_no_fault() -> None:
    wanted = {"most_n": 2.45, "hold_n": 2.75, "pull_n": {"left": 1.5}, "level_n": 5}

    look(problem(wanted=wanted, money={"cap": 16}), ("B=clip",))


@pytest.mark.parametrize(
    ("room", "sound"),
    [(9.9, True), (9.8, False)],
    ids=["0.6 short: a thin base", "0.7 short: more than may be waived"],
)
def test_a_waiver_does_not_reach_further_than_the_catalogue_says(room: float, sound: bool) -> None:
    found = problem(segments={"B": {"room_mm": room}})
    waived = (NeedHolds("B", "room_mm"),)
    if sound:
        look(found, ("B=thin",), waived)
        return
    with pytest.raises(InternalFault) as caught:
        look(found, ("B=thin",), waived)
    assert "B=thin: room_mm 9.8 is under 10.5" == caught.value.what


@pytest.mark.parametrize("of", [{"at_least": 0.5}, {"at_most": 0.1}], ids=["too little", "too much"])
@pytest.mark.parametrize(("up_to", "sound"), [(0.2, True), (0.19, False)], ids=["just enough", "not quite"])
def test_a_need_is_waived_up_to_its_amount_and_no_further(of: dict[str, float], up_to: float, sound: bool) -> None:
    """An undercut of 0.3 mm, 0.2 off."""
    found = small_problem(stock(part("clip", needs=[need("undercut_mm", **of, waive=waive(up_to))])))
    (clip,) = (c for c in found.fit.at("B").every if c.attachment.id == "clip")
    waived = (NeedHolds("B", "undercut_mm"),)
    if sound:
        verify(answer(found, [clip], waived))
        return
    with pytest.raises(InternalFault, match="need of undercut_mm is refuted"):
        verify(answer(found, [clip], waived))


def test_an_end_without_room_for_a_thin_base_cannot_be_waived() -> None:
    found = problem(ends={"E": {"room_mm": 1}})
    (cover,) = (rule for rule in found.rules if isinstance(rule, Covered))

    with pytest.raises(InternalFault, match="the plan breaks cover:E"):
        look(found, ("B=clip",), (cover,))


def test_an_attachment_without_its_steps_is_a_fault() -> None:
    found = problem(allowed={"send_out": True})
    (sent,) = the(found, "B=sent")
    bare = replace(sent, reworks=())

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, [bare]))
    assert "B=sent lacks its steps ['send']" == caught.value.what


def test_a_step_done_twice_or_without_what_goes_before_it_is_a_fault() -> None:
    found = problem()
    (deep,) = the(found, "B=grips + deepen")
    (deepen,) = deep.reworks
    for reworks in ((deepen, deepen), (deepen.model_copy(update={"steps": ("send",)}),)):
        wrong = replace(deep, reworks=reworks)

        with pytest.raises(InternalFault, match="deepen is done twice, or without"):
            check_steps(found.case, found.catalogue, wrong)


def test_a_bar_taken_off_where_none_stands_is_a_fault() -> None:
    catalogue = stock(
        part("stud", "stud", "support", steps=["off"]),
        steps=(step("off", "support", always_with=True, permissions=["bar_off"]),),
    )
    barred, barless = small_problem(catalogue), small_problem(catalogue, segments=None, ends=None)
    (off,), (on,) = the(barred, "R=stud"), the(barless, "R=stud")

    check_steps(barred.case, catalogue, off)
    check_steps(barless.case, catalogue, on)
    with pytest.raises(InternalFault, match="no bar stands"):
        check_steps(barless.case, catalogue, off)
    with pytest.raises(InternalFault, match="lacks its steps"):
        check_steps(barred.case, catalogue, on)


@pytest.mark.parametrize("by", [(1, 0), (0, 1), (-1, 0), (0, -1)], ids=["low +", "high +", "low -", "high -"])
def test_a_cost_a_cent_off_is_a_fault(by: tuple[int, int]) -> None:
    found = problem()
    mix = the(found, "B=clip")
    wrong = found.cost_of(mix) + Cost(*by)

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, mix, cost=wrong))
    assert f"cost {wrong} does not add up to (1300, 1600)" == caught.value.what


def bent(reach: Reach, entry: int, by: float) -> Reach:
    twist = reach.twist.copy()
    twist[entry] += by
    return replace(reach, twist=twist)


@pytest.mark.parametrize("entry", range(6), ids=["wx", "wy", "wz", "tx", "ty", "tz"])
@pytest.mark.parametrize("way", [-1, 1], ids=["less", "more"])
def test_a_twist_that_breaks_out_is_a_fault(entry: int, way: int) -> None:
    """Half a radian or five millimetres, far beyond any box."""
    found = problem()
    mix = the(found, "B=clip")
    reaches = list(answer(found, mix).reaches)
    reaches[0] = bent(reaches[0], entry, way * (0.5 if entry < 3 else 5.0))

    with pytest.raises(InternalFault, match="B=clip cannot follow the motion of demand whole"):
        verify(answer(found, mix, reaches=reaches))


def test_a_reach_that_the_twist_does_not_make_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")
    reaches = [replace(reach, twist=np.zeros(6)) for reach in answer(found, mix).reaches]

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, mix, reaches=reaches))
    assert "the base at the front sinks -0 mm under demand whole" == caught.value.what


def test_a_base_that_sinks_into_the_mucosa_is_a_fault() -> None:
    """A part that is free, whole base down by a millimetre, and a reach of 1 claimed."""
    found = problem()
    mix = the(found, "E=ball")
    deeper = [replace(reach, twist=np.array([0, 0, 0, 0, 0, -1.0])) for reach in answer(found, mix).reaches]

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, mix, reaches=deeper))
    assert "the base at the front sinks 1 mm under demand whole" == caught.value.what


def test_a_missing_reach_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, mix, reaches=answer(found, mix).reaches[1:]))
    assert "the plan breaks moves:whole" == caught.value.what


def test_a_pull_that_the_mix_does_not_take_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")
    pulls = answer(found, mix).pulls
    more = replace(pulls[0], pull=replace(pulls[0].pull, hold_n=pulls[0].hold_n + 0.01))

    with pytest.raises(InternalFault, match="the forces against the pull at centre are out of balance"):
        verify(answer(found, mix, pulls=(more, *pulls[1:])))


def test_a_verdict_that_does_not_follow_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")
    verdicts = answer(found, mix).verdicts
    stands = replace(verdicts[0], verdict=MovementVerdict.STANDS)

    with pytest.raises(InternalFault, match="the mix moves under demand whole, not stands"):
        verify(answer(found, mix, verdicts=(stands, *verdicts[1:])))


def test_a_free_part_may_go_any_way_however_far() -> None:
    """An LP may end far out along a motion that nothing limits."""
    found = problem()
    mix = the(found, "E=ball")
    far = [
        replace(reach, twist=reach.twist + np.array([0, 0, 0, 5000, -5000, 0]))
        for reach in answer(found, mix).reaches
    ]

    verify(answer(found, mix, reaches=far))


@pytest.mark.parametrize("money", [{"currency": "CHF", "exchange": 0.9}, {"exchange": 0.9}], ids=["foreign", "own"])
def test_prices_are_changed_into_the_currency_of_the_case_and_into_no_other(money: dict[str, Any]) -> None:
    """Ten to twelve euros are nine to 10.80 francs; an exchange beside the catalogue's own currency is not used."""
    found = small_problem(stock(part("clip")), money=money, wanted={"movement": dict.fromkeys(DEMANDS, 0)})
    cost = Cost(900, 1080) if "currency" in money else Cost(1000, 1200)

    whole = answer(found, the(found, "B=clip"))

    assert cost == whole.cost
    verify(whole)


@pytest.mark.parametrize("keys", [(), ("E=idle",)], ids=["nothing fitted", "what is fitted holds nothing"])
def test_an_answer_that_nothing_holds_is_a_fault_whatever_is_given_up(keys: tuple[str, ...]) -> None:
    idle = part("idle", "ball", "end", retention_n=band(0, 3))
    found = small_problem(stock(idle), wanted={"level_n": 1, "movement": dict.fromkeys(DEMANDS, 0)})
    mix = the(found, *keys)

    with pytest.raises(InternalFault) as caught:
        verify(answer(found, mix, found.rules))
    assert "the plan breaks held" == caught.value.what
