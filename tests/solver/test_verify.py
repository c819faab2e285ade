"""The second look passes sound answers and refuses every corrupted one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from solver.candidate import Candidate
from solver.case import DEMANDS
from solver.faults import InternalFault
from solver.mechanics import Mechanics
from solver.money import Cost
from solver.movement import Reach
from solver.plan import Status, plan
from solver.problem import Problem
from solver.rules import Covered, NeedHolds, NotAllowed, Rule, Unsplint
from solver.verify import verify
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
PATIENT = {"scans_expected": "yes", "sensitivities": ["nickel"]}


def problem(**changes: Any) -> Problem:
    return small_problem(CATALOGUE, **{"patient": PATIENT, "allowed": {"send_out": False}, **changes})


def the(found: Problem, *keys: str) -> tuple[Candidate, ...]:
    every = {c.key: c for site in found.fit.sites for c in site.every}
    return tuple(every[key] for key in keys)


def answered(found: Problem, mix: Iterable[Candidate]) -> tuple[Reach, ...]:
    options = {option.candidate.key: option for option in found.options}
    return Mechanics(found).reaches([options[c.key] for c in mix if c.key in options])


def look(found: Problem, keys: tuple[str, ...], waived: tuple[Rule, ...] = ()) -> None:
    """Verify a mix with its true cost and reaches."""
    mix = the(found, *keys)
    verify(found, mix, found.cost_of(mix), answered(found, mix), waived)


@pytest.mark.parametrize(
    ("keys", "waived"),
    [
        (("B=clip", "E=ball"), ()),
        (("B=short",), (NeedHolds("B", "undercut_mm"),)),
        (("B=magnet",), (NeedHolds("B", "scans"),)),
        (("B=sent",), (NotAllowed("send_out"),)),
        (("B=grips + deepen",), ()),
    ],
    ids=["clip and ball", "a need waived", "a magnet waived", "work waived", "an undercut deepened"],
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
        ("the plan breaks allowed:send_out", ("B=sent",), ()),
        ("the plan breaks moves:whole", ("B=stiff",), ()),
        ("more than one candidate at a site: ['B', 'B']", ("B=clip", "B=thin"), ()),
        ("the mix needs the bar both on and off", ("B=clip", "R=stud"), ()),
    ],
    ids=[
        "need", "need that none may waive", "need not waived", "word", "no such fact", "room", "housing and spacer",
        "length", "length that none may waive", "metal", "scan", "permission", "movement", "two at a site",
        "bar on and off",
    ],
)  # fmt: skip
def test_a_mix_that_does_not_follow_is_a_fault(fault: str, keys: tuple[str, ...], waived: tuple[Rule, ...]) -> None:
    with pytest.raises(InternalFault) as caught:
        look(problem(), keys, waived)

    assert fault == caught.value.what


def test_a_bar_taken_off_in_the_upper_jaw_is_never_silent() -> None:
    upper = problem(arch="upper", wanted={"movement": {}, "hold_n": 0})

    look(upper, ("R=stud",), (Unsplint(2),))
    with pytest.raises(InternalFault, match="the plan breaks unsplint"):
        look(upper, ("R=stud",))


@pytest.mark.parametrize(
    ("fault", "changes"),
    [
        ("the plan breaks budget", {"money": {"cap": 12}}),
        ("the plan breaks hold", {"wanted": {"hold_n": 5.1}}),
        ("the plan breaks pull", {"wanted": {"most_n": 7.9}}),
        ("the plan breaks cover:E", {"ends": {"E": {"room_mm": 1}}}),
    ],
    ids=["budget", "floor", "ceiling", "cover"],
)
def test_a_limit_that_is_broken_is_a_fault(fault: str, changes: dict[str, Any]) -> None:
    with pytest.raises(InternalFault) as caught:
        look(problem(**changes), ("B=clip",))

    assert fault == caught.value.what


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
    reaches = answered(found, [clip]) or answered(problem(), the(problem(), "B=clip"))
    if sound:
        verify(found, (clip,), found.cost_of((clip,)), reaches, waived)
        return
    with pytest.raises(InternalFault, match="need of undercut_mm is refuted"):
        verify(found, (clip,), found.cost_of((clip,)), reaches, waived)


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
        verify(found, [bare], found.cost_of([bare]), answered(found, [sent]), ())
    assert "B=sent lacks its steps ['send']" == caught.value.what


def test_a_step_done_twice_at_a_site_is_a_fault() -> None:
    found = problem(allowed={"send_out": True})
    (sent,) = the(found, "B=sent")
    twice = replace(sent, reworks=sent.reworks * 2)

    with pytest.raises(InternalFault) as caught:
        verify(found, [twice], found.cost_of([twice]), answered(found, [sent]), ())
    assert "B=sent does a step twice: ['send', 'send']" == caught.value.what


@pytest.mark.parametrize("by", [(1, 0), (0, 1), (-1, 0), (0, -1)], ids=["low +", "high +", "low -", "high -"])
def test_a_cost_a_cent_off_is_a_fault(by: tuple[int, int]) -> None:
    found = problem()
    mix = the(found, "B=clip")
    wrong = found.cost_of(mix) + Cost(*by)

    with pytest.raises(InternalFault) as caught:
        verify(found, mix, wrong, answered(found, mix), ())
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
    reaches = list(answered(found, mix))
    reaches[0] = bent(reaches[0], entry, way * (0.5 if entry < 3 else 5.0))

    with pytest.raises(InternalFault, match="B=clip cannot follow the motion of demand whole"):
        verify(found, mix, found.cost_of(mix), reaches, ())


def test_a_reach_that_the_twist_does_not_make_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")
    reaches = [replace(reach, twist=np.zeros(6)) for reach in answered(found, mix)]

    with pytest.raises(InternalFault) as caught:
        verify(found, mix, found.cost_of(mix), reaches, ())
    assert "the base at the front sinks -0 mm under demand whole" == caught.value.what


def test_a_base_that_sinks_into_the_mucosa_is_a_fault() -> None:
    """Nothing that stops it, whole base down by a millimetre, and a reach of 1 claimed."""
    found = problem()
    mix = the(found, "E=ball")
    deeper = [replace(reach, twist=np.array([0, 0, 0, 0, 0, -1.0])) for reach in answered(found, mix)]

    with pytest.raises(InternalFault) as caught:
        verify(found, mix, found.cost_of(mix), deeper, ())
    assert "the base at the front sinks 1 mm under demand whole" == caught.value.what


def test_a_missing_reach_is_a_fault() -> None:
    found = problem()
    mix = the(found, "B=clip")

    with pytest.raises(InternalFault) as caught:
        verify(found, mix, found.cost_of(mix), answered(found, mix)[1:], ())
    assert "the plan breaks moves:whole" == caught.value.what


def test_a_free_part_may_go_any_way_however_far() -> None:
    """An LP may end far out along a motion that nothing limits."""
    found = problem()
    mix = the(found, "E=ball")
    far = [replace(reach, twist=reach.twist + np.array([0, 0, 0, 5000, -5000, 0])) for reach in answered(found, mix)]

    verify(found, mix, found.cost_of(mix), far, ())


@pytest.mark.parametrize("money", [{"currency": "CHF", "exchange": 0.9}, {"exchange": 0.9}], ids=["foreign", "own"])
def test_prices_are_changed_into_the_currency_of_the_case_and_into_no_other(money: dict[str, Any]) -> None:
    """Ten to twelve euros are nine to 10.80 francs; an exchange beside the catalogue's own currency is not used."""
    found = small_problem(stock(part("clip")), money=money, wanted={"movement": dict.fromkeys(DEMANDS, 0)})
    cost = Cost(900, 1080) if "currency" in money else Cost(1000, 1200)

    verify(found, the(found, "B=clip"), cost, (), ())


@pytest.mark.parametrize("keys", [(), ("E=idle",)], ids=["nothing fitted", "what is fitted holds nothing"])
def test_an_answer_that_nothing_holds_is_a_fault_whatever_is_given_up(keys: tuple[str, ...]) -> None:
    idle = part("idle", "ball", "end", retention_n=band(0, 3))
    found = small_problem(stock(idle), wanted={"hold_n": 1, "movement": dict.fromkeys(DEMANDS, 0)})
    mix = the(found, *keys)

    with pytest.raises(InternalFault) as caught:
        verify(found, mix, found.cost_of(mix), (), found.rules)
    assert "the plan breaks held" == caught.value.what
