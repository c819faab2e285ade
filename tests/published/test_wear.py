"""Wear against published tests; the figures were read in abstracts, the arithmetic is derived."""

from __future__ import annotations

import math

import pytest

from solver.sourced import Place
from solver.wear import (
    ACCEPTABLE_PER_ATTACHMENT_N,
    CYCLE_CONVENTIONS,
    Wear,
    WearLaw,
    chained_loss_share,
    initial_from_final_n,
    loss_share,
    newton_from_gram_force,
    newton_from_kilogram_force,
    survival_share,
)

BMC = "BMC Oral Health 2022, doi 10.1186/s12903-022-02262-7 (read; start derived)"
MATERIALS = "Materials 2020;13:3434 (read; rest derived)"


@pytest.mark.parametrize(
    ("force_gf", "force_n"),
    [(1327, 13.01), (1067, 10.46), (219, 2.15)],
    ids=["ball", "bar", "magnet"],
)
def test_gram_force_after_ten_years(force_gf: float, force_n: float) -> None:
    """Naert et al., Int J Prosthodont 2004;17:401-410 (read); newton derived with g = 9.80665."""
    assert force_n == pytest.approx(newton_from_gram_force(force_gf), abs=0.005)


def test_order_of_classes_is_a_finding_not_a_rule() -> None:
    """After ten years ball > bar > magnet (Naert 2004, read); at the start bar is above ball (van Kampen 2003)."""
    ball, bar, magnet = (newton_from_gram_force(gf) for gf in (1327, 1067, 219))

    assert [magnet, bar, ball] == sorted([ball, bar, magnet])


@pytest.mark.parametrize(
    ("force_kgf", "force_n"),
    [(5.65, 55.41), (7.01, 68.74), (12.22, 119.84)],
    ids=["new denture", "old denture", "overdenture"],
)
def test_kilogram_force_of_bites(force_kgf: float, force_n: float) -> None:
    """J Oral Implantol 2009;35:196 (read); newton computed."""
    assert force_n == pytest.approx(newton_from_kilogram_force(force_kgf), abs=0.01)


@pytest.mark.parametrize(
    ("before", "after", "share"),
    [
        pytest.param(24.73, 19.28, 0.220, id="caps, level: Manimala 2021"),
        pytest.param(27.13, 21.85, 0.195, id="caps, unequal heights: Manimala 2021"),
        pytest.param(21.04, 24.01, -0.141, id="small ball, a gain: Braz Dent J 2018;29(6)"),
        pytest.param(4.705, 3.740, 0.205, id="telescopes, 18 months: Bayer 2011"),
        pytest.param(1.97, 4.70, -1.39, id="telescopes, laboratory to mouth, + 139 %: Bayer, PubMed 21453418"),
        pytest.param(5.41, 6.27, -0.159, id="telescopes, a gain: Guven 2017"),
    ],
)
def test_share_lost(before: float, after: float, share: float) -> None:
    assert share == pytest.approx(loss_share(before, after), abs=0.005)


@pytest.mark.parametrize(
    ("final_n", "lost", "initial_n"),
    [(17.37, 0.5866, 42.02), (16.56, -0.0299, 16.08)],
    ids=["stiff polymer clip", "nylon clip"],
)
def test_start_from_what_is_left(final_n: float, lost: float, initial_n: float) -> None:
    assert initial_n == pytest.approx(initial_from_final_n(final_n, lost), abs=0.005), BMC


@pytest.mark.parametrize(
    ("losses", "total"),
    [((0.1305, 0.2326), 0.3328), ((0.1345, 0.0791), 0.2030)],
    ids=["milled caps", "nylon caps"],
)
def test_losses_of_two_years(losses: tuple[float, ...], total: float) -> None:
    """Eur J Med Res 2023, s40001-023-01498-5, table 2 (read): 33.28 % and 20.30 % are printed there."""
    assert total == pytest.approx(chained_loss_share(losses), abs=5e-4)


@pytest.mark.parametrize(
    ("source", "years", "per_day"),
    [
        ("Reda", 5.0, 3.01),
        ("Walton and Ruse", 3.0, 5.02),
        ("Aroso", 5.0, 2.96),
        ("Manimala", 1.0, 3.95),
        ("El Naggar", 1.0, 2.96),
        ("de Sousa", 0.5, 2.96),
        ("J Prosthet Dent 2021", 1.0, 3.00),
        ("Kim", 2.0, 3.42),
        ("Abdel-Khalek", 1.5, 5.00),
    ],
)
def test_insertions_per_day_that_studies_imply(source: str, years: float, per_day: float) -> None:
    """Cycles and time read in each abstract; per day derived. The same 5500 cycles stand for 3 and for 5 years."""
    (convention,) = [c for c in CYCLE_CONVENTIONS if c.source.startswith(source)]

    assert years == convention.years
    assert per_day == pytest.approx(convention.insertions_per_day, abs=0.01)


@pytest.mark.parametrize(
    ("initial_n", "lost", "left_n", "holds"),
    [(19.39, 0.66, 6.59, True), (8.8, 0.89, 0.97, False), (8.57, 0.26, 6.34, True)],
    ids=["nylon", "wide angle", "stiff polymer"],
)
@pytest.mark.parametrize("law", WearLaw)
def test_studs_after_ten_thousand(initial_n: float, lost: float, left_n: float, holds: bool, law: WearLaw) -> None:
    """Left after 10 000, and whether that is above a floor of 3 N (Bayer): only the wide-angle insert fails."""
    wear = Wear(lost, over_cycles=10_000, law=law)
    floor_n = ACCEPTABLE_PER_ATTACHMENT_N.interval.low

    assert left_n == pytest.approx(wear.retention_after_n(initial_n, 10_000), abs=0.005), MATERIALS
    assert holds == (wear.cycles_to_floor(initial_n, floor_n) > 10_000)


@pytest.mark.parametrize(
    ("force_n", "place"),
    [(3.83, Place.INSIDE), (9.40, Place.ABOVE), (12.39, Place.ABOVE), (1.97, Place.BELOW)],
    ids=["light", "medium", "strong", "telescope in the laboratory"],
)
def test_studs_against_the_acceptable_band(force_n: float, place: Place) -> None:
    """Alsabeeha et al., Int J Prosthodont 2010;23:160-166 (read), against 3 to 7 N quoted by Bayer (read)."""
    assert place is ACCEPTABLE_PER_ATTACHMENT_N.interval.place(force_n)


@pytest.mark.parametrize(("rate", "share"), [(0.42, 0.979), (0.22, 0.989)], ids=["upper", "lower"])
def test_implants_after_five_years(rate: float, share: float) -> None:
    """Kern et al., Clin Oral Implants Res 2016;27:174-195 (read): 97.9 and 98.9 % are printed there."""
    assert share == pytest.approx(survival_share(rate, years=5.0), abs=5e-4)


def test_fewer_than_four_upper_implants_are_lost_three_times_as_fast() -> None:
    """Kern et al. 2016 (rates 7.22 and 2.31 read): ratio of hazards 3.13 at any time, derived."""
    few, four = (math.log(survival_share(rate, years=3.0)) for rate in (7.22, 2.31))

    ratio = 3.13
    assert ratio == pytest.approx(few / four, abs=0.005)
