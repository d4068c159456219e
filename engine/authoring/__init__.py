"""A tree while it is being written: what is wrong, how it goes, what is proved, a pretend walk.

`study` is everything that one saved state of a file comes to; `outline` draws it in text; `pages`
are the lines that a door shows; `pretend` walks it without a job, so nothing is recorded.
"""

from engine.authoring.outline import FOUND, Drawn, drawn
from engine.authoring.pages import costs_page, findings_page, problems_page, summary
from engine.authoring.pretend import Pretend, pretend, pretend_to
from engine.authoring.study import Signature, Study, signature, studied, with_cases, with_proof

__all__ = [
    "FOUND",
    "Drawn",
    "Pretend",
    "Signature",
    "Study",
    "costs_page",
    "drawn",
    "findings_page",
    "pretend",
    "pretend_to",
    "problems_page",
    "signature",
    "studied",
    "summary",
    "with_cases",
    "with_proof",
]
