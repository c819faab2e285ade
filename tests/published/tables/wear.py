"""Wear: what is left of a hold, what studies count as a year, units."""

from __future__ import annotations

from collections.abc import Callable

from solver.handbook.sourced import Place
from solver.handbook.wear import (
    ACCEPTABLE_PER_ATTACHMENT_N,
    CYCLE_CONVENTIONS,
    Wear,
    WearLaw,
    chained_loss_share,
    initial_from_final_n,
    loss_share,
    newton_from_gram_force,
)
from tests.published.check import Check, Known

_NAERT = (
    "Naert I, Alsaadi G, Quirynen M. Prosthetic aspects and patient satisfaction with two-implant-retained "
    "mandibular overdentures: a 10-year randomized clinical study. Int J Prosthodont 2004;17:401-410 (citation from "
    "memory)"
)
_BMC = (
    "Retention of bar clip attachment for mandibular implant overdenture. BMC Oral Health 2022, "
    "doi 10.1186/s12903-022-02262-7"
)
_MATERIALS = "Materials 2020;13:3434, doi 10.3390/ma13153434"
_EUR = "Eur J Med Res 2023, s40001-023-01498-5, table 2"
_ALSABEEHA = "Alsabeeha N, Atieh M, Swain MV, Payne AGT. Int J Prosthodont 2010;23:160-166"
_BAYER = "Bayer S et al., Gerodontology (PubMed 21453418), which quotes 3 to 7 N"

_LOSSES = (
    ("caps on balls, level implants", "Manimala M et al. Online J Dent Oral Health 2021", 24.73, 19.28, 0.220),
    ("caps on balls, unequal heights", "Manimala M et al. Online J Dent Oral Health 2021", 27.13, 21.85, 0.195),
    ("small ball with polyamide ring, a gain", "Braz Dent J 2018;29(6)", 21.04, 24.01, -0.141),
    ("telescopes, 18 months", "Bayer S et al. Clin Oral Investig 2011, doi 10.1007/s00784-011-0530-2", 4.705, 3.740,
     0.205),
    ("telescopes, laboratory to mouth, + 139 %", "Bayer S et al., Gerodontology (PubMed 21453418)",
     1.97, 4.70, -1.39),
    ("telescopes, a gain", "Guven MC et al. J Adv Prosthodont 2017;9:308-314", 5.41, 6.27, -0.159),
)  # fmt: skip

_YEARS = (
    ("Reda", "Reda KM et al. J Indian Prosthodont Soc 2016;16:380-385: 5500 cycles", 5.0, 3.01),
    ("Walton and Ruse", "Walton JN, Ruse ND. J Prosthet Dent 1995;74:482-486: 5500 cycles", 3.0, 5.02),
    ("Aroso", "Aroso C et al. J Adv Prosthodont 2016;8(1): 5400 cycles", 5.0, 2.96),
    ("Manimala", "Manimala M et al. Online J Dent Oral Health 2021: 1440 cycles", 1.0, 3.95),
    ("El Naggar", "El Naggar D et al. Integr J Med Sci 2021;8: 1080 cycles", 1.0, 2.96),
    ("de Sousa", "de Sousa AA et al. Int J Prosthodont 2008;21:233-236: 540 cycles", 0.5, 2.96),
    ("J Prosthet Dent 2021", "J Prosthet Dent 2021, PII S0022-3913(21)00051-2: 1095 cycles", 1.0, 3.00),
    ("Kim", "Kim SM et al. J Adv Prosthodont 2015;7(4): 2500 cycles", 2.0, 3.42),
    ("Abdel-Khalek", "Abdel-Khalek EA, Ibrahim AM. J Indian Prosthodont Soc 2017;17:340-347: 2740 cycles", 1.5, 5.00),
)

_STUDS = (("nylon insert", 19.39, 0.66, 6.59, True), ("insert for divergent implants", 8.8, 0.89, 0.97, False),
          ("stiff polymer insert", 8.57, 0.26, 6.34, True))  # fmt: skip


def _implied(source: str) -> Callable[[], tuple[float, float]]:
    def found() -> tuple[float, float]:
        (convention,) = [c for c in CYCLE_CONVENTIONS if c.source.startswith(source)]
        return convention.years, convention.insertions_per_day

    return found


def _left(initial_n: float, lost: float, law: WearLaw) -> Callable[[], float]:
    return lambda: Wear(lost, over_cycles=10_000, law=law).retention_after_n(initial_n, 10_000)


def _outlasts(initial_n: float, lost: float, law: WearLaw) -> Callable[[], bool]:
    floor_n = ACCEPTABLE_PER_ATTACHMENT_N.interval.low
    wear = Wear(lost, over_cycles=10_000, law=law)
    return lambda: bool(wear.cycles_to_floor(initial_n, floor_n) > 10_000)


CHECKS = (
    *(
        Check(f"Hold of the whole denture after ten years, {what}: {gf} gf in N", _NAERT, Known.DERIVED, force_n,
              lambda gf=gf: newton_from_gram_force(gf), 0.005)  # type: ignore[misc]
        for what, gf, force_n in (("ball", 1327, 13.01), ("bar", 1067, 10.46), ("magnet", 219, 2.15))
    ),
    Check("Order of classes after ten years, least first", _NAERT, Known.READ, ("magnet", "bar", "ball"),
          lambda: tuple(sorted(("ball", "bar", "magnet"), key=lambda of: newton_from_gram_force(
              {"ball": 1327, "bar": 1067, "magnet": 219}[of])))),
    *(
        Check(f"Share lost, {what}: {before} to {after} N", source, Known.DERIVED, share,
              lambda before=before, after=after: loss_share(before, after), 0.005)  # type: ignore[misc]
        for what, source, before, after, share in _LOSSES
    ),
    *(
        Check(f"Hold at the start, {what}: {final_n} N left after {lost:.2%} lost", _BMC, Known.DERIVED, initial_n,
              lambda final_n=final_n, lost=lost: initial_from_final_n(final_n, lost), 0.005)  # type: ignore[misc]
        for what, final_n, lost, initial_n in
        (("stiff polymer clip", 17.37, 0.5866, 42.02), ("nylon clip (a gain)", 16.56, -0.0299, 16.08))
    ),
    *(
        Check(f"Loss of two years from that of each, {what}", _EUR, Known.READ, total,
              lambda losses=losses: chained_loss_share(losses), 5e-4)  # type: ignore[misc]
        for what, losses, total in
        (("milled caps", (0.1305, 0.2326), 0.3328), ("nylon caps", (0.1345, 0.0791), 0.2030))
    ),
    *(
        Check("Years that these cycles stand for, and insertions a day that follow", source, Known.DERIVED,
              (years, per_day), _implied(key), 0.01)
        for key, source, years, per_day in _YEARS
    ),
    *(
        Check(f"Left after 10 000 dislodgements, {what}, N ({law.name.lower()} law)", _MATERIALS, Known.DERIVED,
              left_n,
              _left(initial_n, lost, law), 0.005)
        for what, initial_n, lost, left_n, _ in _STUDS for law in WearLaw
    ),
    *(
        Check(f"Still above 3 N after them, {what} ({law.name.lower()} law)", f"{_MATERIALS}; floor: {_BAYER}",
              Known.DERIVED, holds, _outlasts(initial_n, lost, law))
        for what, initial_n, lost, _, holds in _STUDS for law in WearLaw
    ),
    *(
        Check(f"{force_n} N against the band of 3 to 7 N, {what}", f"{_ALSABEEHA}; band: {_BAYER}", Known.DERIVED,
              place.name, lambda force_n=force_n: ACCEPTABLE_PER_ATTACHMENT_N.interval.place(force_n).name)  # type: ignore[misc]
        for what, force_n, place in (("light insert", 3.83, Place.INSIDE), ("medium insert", 9.40, Place.ABOVE),
                                     ("strong insert", 12.39, Place.ABOVE))
    ),
    Check("1.97 N against the band of 3 to 7 N, telescope in the laboratory", _BAYER, Known.DERIVED, Place.BELOW.name,
          lambda: ACCEPTABLE_PER_ATTACHMENT_N.interval.place(1.97).name),
)  # fmt: skip
