"""Why something was ruled out or given up in many cases, in words."""

from __future__ import annotations

from cli.wording import words

_RULE = {
    "budget": "cap on the cost",
    "level": "level pull in a test rig",
    "held": "hold of the denture",
    "peel": "force of the patient's hands",
    "spread": "hold of the weaker side, by where the parts stand",
    "even": "hold of the weaker side, by the stronger one",
    "borne": "mucosa that helps to bear the denture",
    "supports": "number of implants under single attachments",
    "cover": "acrylic over a bare bar end",
    "unsplint": "bar that splints the implants of an upper jaw",
    "firm-bar": "implants under the bar that stand firm",
    "lined": "a lining by itself, with no firm part beside it",
    "scans": "magnetic scans",
    "metals": "metals in the mouth",
    "grinding": "grinding on natural teeth or implants",
}


def rule(code: str) -> str:
    """A reason or rule in words: the quantity of a need, or the code of a rule without its site."""
    kind, _, of = code.partition(":")
    match kind:
        case "allowed":
            return f"{words.PERMISSION.get(of, of)} is not allowed"  # type: ignore[call-overload]
        case "moves":
            return f"binds when {words.DEMAND.get(of, of)}"
        case "fights":
            return f"fights when {words.DEMAND.get(of, of)}"
        case "pulls":
            return f"pull {words.PULL.get(of, of)}"
        case "stopgap":
            return f"pull {words.PULL.get(of, of)}, even of a stopgap"
        case "need":
            return words.quantity(of)
        case _:
            return _RULE.get(code) or words.quantity(code)
