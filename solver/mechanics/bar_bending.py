"""Stretches and ends of the bar in the mouth under what reaches them of a bite, against what their alloy bears."""

from __future__ import annotations

from dataclasses import dataclass

from solver.handbook.alloys import FATIGUE_SHARE, HOLE_NOTCH, NOTCH
from solver.handbook.mucosa import CHEWING_N
from solver.handbook.sourced import Interval, Place
from solver.mechanics.bar_rods import BarPiece
from solver.mechanics.shared_bites import Borne, PieceBent


@dataclass(frozen=True, slots=True)
class Bent:
    """One stretch or end: least and greatest stress in a full bite and in chewing, and what its alloy bears of each.

    Stress is that of the plain section; `lasting_mpa` is what that may be where the peak at a collar or at the edge
    of a hole is borne for millions of bites. `stress_mpa`, `chewing_mpa` and `sag_mm`, how far the parts on it sink,
    are None where the shape or a size is not known.
    """

    site: str
    alloy: str
    stress_mpa: Interval | None
    proof_mpa: Interval
    chewing_mpa: Interval | None
    lasting_mpa: Interval
    alloy_known: bool
    cut: bool
    sag_mm: Interval | None

    @property
    def place(self) -> Place:
        """BELOW: bears a bite wherever the truth lies in the bands; ABOVE: bends for good; else INSIDE."""
        return _place(self.stress_mpa, self.proof_mpa)

    @property
    def bends(self) -> bool:
        """True where it is more likely than not to bend for good; where it was cut, already where it may."""
        if self.stress_mpa is None:
            return False
        may = self.cut and self.alloy_known and self.stress_mpa.high > self.proof_mpa.low
        return may or _middle(self.stress_mpa) > _middle(self.proof_mpa)

    @property
    def cracks(self) -> bool:
        """True where it is more likely than not to crack with the years."""
        return self.chewing_mpa is not None and _middle(self.chewing_mpa) > _middle(self.lasting_mpa)


def bent_bar(found: Borne) -> tuple[Bent, ...]:
    """Every stretch and end as a mix leaves it; none where the bar comes off."""
    return tuple(_bent(piece, found.bent[name], found.bite_n) for name, piece in found.pieces.items())


def _bent(piece: BarPiece, under: PieceBent, bite_n: float) -> Bent:
    notch, share, proof = (HOLE_NOTCH if piece.hole else NOTCH).interval, FATIGUE_SHARE.interval, piece.proof_mpa
    lasting = Interval(share.low * proof.low / notch.high, share.high * proof.high / notch.low)
    if not piece.measured:
        return Bent(piece.site, piece.alloy, None, proof, None, lasting, piece.known, piece.cut, None)
    stress, chewed = under.stress_mpa, (min(force / bite_n, 1.0) if bite_n else 1.0 for force in CHEWING_N.interval)
    chewing = Interval(*(share * end for share, end in zip(chewed, stress, strict=True)))
    return Bent(piece.site, piece.alloy, stress, proof, chewing, lasting, piece.known, piece.cut, under.gives_mm)


def _middle(found: Interval) -> float:
    return (found.low + found.high) / 2


def _place(stress: Interval | None, bears: Interval) -> Place:
    if stress is None:
        return Place.INSIDE
    if stress.high <= bears.low:
        return Place.BELOW
    return Place.ABOVE if stress.low > bears.high else Place.INSIDE
