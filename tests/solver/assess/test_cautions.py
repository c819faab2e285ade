"""The cautions that go with a mix: each when its ground is there, and not otherwise; who decides comes last."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.cautions import Caution, Hazard, cautions
from solver.assess.problem import problem_of
from tests.solver.small import part, small_case, step, stock

SOURCED = {"kind": "common-practice", "text": "agreed prices"}
PARTS = stock(
    part("clip", cautions=["renew yearly"]),
    part("magnet", "magnet", magnetic=True, metals=["cobalt", "nickel"]),
    part("ball", "ball", "end", cautions=["renew yearly", "mind the ring"]),
    part("bare", "bare", "end", steps=["cut"]),
    part("stud", "stud", "support"),
    steps=(step("cut", "end", always_with=True, permissions=["cut_bar"], cautions=["shield the mouth"]),),
)
CATALOGUE = PARTS.model_copy(
    update={
        "sources": {**PARTS.sources, "agreed": PARTS.sources["invented"].model_copy(update=SOURCED)},
        "attachments": {
            name: a.model_copy(update={"price": a.price.model_copy(update={"source": "agreed"})})
            for name, a in PARTS.attachments.items()
        },
    }
)


def found(*keys: str, catalogue: Any = CATALOGUE, **changes: Any) -> list[Caution]:
    case = small_case(**changes)
    usable = {c.key: c for c in problem_of(case, catalogue).fit.usable}
    return list(cautions(case, catalogue, [usable[key] for key in keys]))


SMALL, DECIDES = Caution(Hazard.SMALL_PARTS), Caution(Hazard.DECIDES)
RENEW = Caution(None, ("B",), "renew yearly")
UPPER = {"arch": "upper", "denture": {"left": None, "right": None, "front": None}}
FOUR = {f"S{i}": {"at_mm": [4 * i, -10, 0]} for i in (1, 2)}


@pytest.mark.parametrize(
    ("expected", "keys", "changes"),
    [
        pytest.param([DECIDES], [], {}, id="nothing fitted"),
        pytest.param([SMALL, RENEW, DECIDES], ["B=clip"], {}, id="small parts, and the catalogue's own"),
        pytest.param(
            [
                Caution(Hazard.MAGNET_SCAN, ("B",)),
                SMALL,
                Caution(Hazard.METALS, ("B",), "cobalt, nickel"),
                DECIDES,
            ],
            ["B=magnet"],
            {},
            id="magnet and metals",
        ),
        pytest.param(
            [Caution(Hazard.UPPER_JAW), Caution(Hazard.FEW_SUPPORTS), DECIDES], [], UPPER, id="upper, two supports"
        ),
        pytest.param(
            [Caution(Hazard.UPPER_JAW), DECIDES], [], {**UPPER, "supports": FOUR}, id="upper, four supports"
        ),
        pytest.param([Caution(Hazard.BRUXISM), DECIDES], [], {"patient": {"bruxism": "yes"}}, id="bruxism"),
        pytest.param(
            [Caution(Hazard.BRUXISM), DECIDES], [], {"patient": {"bruxism": "unknown"}}, id="bruxism not ruled out"
        ),
        pytest.param(
            [Caution(Hazard.BAR_CUT, ("E",)), Caution(None, ("E",), "shield the mouth"), DECIDES],
            ["E=bare"],
            {},
            id="bar cut; a bare end is no part to swallow",
        ),
        pytest.param(
            [SMALL, Caution(Hazard.BAR_OFF, ("R", "L")), DECIDES],
            ["R=stud", "L=stud"],
            {"supports": {"R": {"room_mm": 9}, "L": {"room_mm": 9}}},
            id="bar off",
        ),
        pytest.param([Caution(Hazard.INVENTED), DECIDES], [], {"invented": True}, id="an example"),
        pytest.param(
            [SMALL, Caution(None, ("B", "E"), "renew yearly"), Caution(None, ("E",), "mind the ring"), DECIDES],
            ["B=clip", "E=ball"],
            {},
            id="one text, both sites",
        ),
    ],
)
def test_cautions(expected: list[Caution], keys: list[str], changes: dict[str, Any]) -> None:
    assert expected == found(*keys, **changes)


def test_invented_prices_are_called_invented() -> None:
    assert [SMALL, Caution(Hazard.INVENTED), RENEW, DECIDES] == found("B=clip", catalogue=PARTS)
