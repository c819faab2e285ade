"""What can be wrong with a scan. Each error holds the facts and says what to do."""

from __future__ import annotations

from dataclasses import dataclass


class ScanError(Exception):
    """Base of everything that stops a scan from being read or measured."""


@dataclass
class EmptyScan(ScanError):
    """The file holds nothing, or no triangle with an area."""

    name: str

    def __str__(self) -> str:
        return f"{self.name}: no triangle in it; export the surface again"


@dataclass
class UnknownFormat(ScanError):
    """The content is neither STL, PLY nor OBJ, whatever the file is called."""

    name: str

    def __str__(self) -> str:
        return f"{self.name}: not an STL, PLY or OBJ surface; export it as one of these"


@dataclass
class TruncatedScan(ScanError):
    """The file declares more than it holds."""

    name: str
    declared: int
    found: int
    what: str

    def __str__(self) -> str:
        return (
            f"{self.name}: declares {self.declared} {self.what} but holds at most {self.found}; "
            "the file was cut short or altered: copy or export it again"
        )


@dataclass
class OversizedScan(ScanError):
    """The file or what it declares is more than the reader accepts."""

    name: str
    size: int
    limit: int
    what: str

    def __str__(self) -> str:
        return f"{self.name}: {self.size} {self.what}, limit {self.limit}; cut the scan down to the bar and thin it"


@dataclass
class DamagedScan(ScanError):
    """The content breaks the rules of its own format."""

    name: str
    detail: str

    def __str__(self) -> str:
        return f"{self.name}: {self.detail}; export the surface again"


@dataclass
class ReaderMissing(ScanError):
    """The optional mesh library is not installed."""

    library: str

    def __str__(self) -> str:
        return f"reading a scan needs {self.library}; install it with `pip install 'regrip[scan]'`"


@dataclass
class NoBarFound(ScanError):
    """No straight stretch of bar could be proposed."""

    triangles: int

    def __str__(self) -> str:
        return (
            f"no straight bar found in {self.triangles} triangles; "
            "check the unit, cut away teeth and tray, or give the end points of each segment"
        )


@dataclass
class OutNotShown(ScanError):
    """The scan does not show which way the denture is removed."""

    segments: int

    def __str__(self) -> str:
        return (
            f"{self.segments} segment(s) without posts or mucosa beneath do not show the path of removal; "
            "give its direction"
        )


@dataclass
class BadDirection(ScanError):
    """A direction or end point given by the user cannot be used."""

    what: str
    detail: str

    def __str__(self) -> str:
        return f"{self.what}: {self.detail}; give three finite numbers"


@dataclass
class NothingCarries(ScanError):
    """No post is in the scan and no support was named."""

    segments: int

    def __str__(self) -> str:
        return (
            f"{self.segments} stretch(es) of bar but nothing that carries them; "
            "write `supports:` with their places in a points file"
        )


@dataclass
class ForwardsNotShown(ScanError):
    """A straight bar looks the same from the front and from behind."""

    supports: int

    def __str__(self) -> str:
        return (
            f"a straight bar on {self.supports} support(s) does not show where the front of the mouth is; "
            "write `forwards: [x, y, z]` in a points file, in the axes of the scan"
        )


@dataclass
class UnitOpen(ScanError):
    """The size of the scan speaks against its unit."""

    name: str
    diagonal: float
    unit: str
    candidates: tuple[str, ...]

    def __str__(self) -> str:
        size = f"{self.name}: {self.diagonal:.4g} {self.unit} across is no bar"
        if not self.candidates:
            return f"{size} in any unit; cut the scan down to the bar"
        return f"{size}; write {' or '.join(f'`--units {unit}`' for unit in self.candidates)}"


@dataclass
class NotTheSameBar(ScanError):
    """The scan and the case do not have the same supports."""

    seen: int
    listed: int

    def __str__(self) -> str:
        return (
            f"the scan shows {self.seen} supports, the case has {self.listed}; "
            "name those that the scan shows, as in the case, under `supports:` in a points file"
        )
