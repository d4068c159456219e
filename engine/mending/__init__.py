"""What is certain to be mended in a file, mended: by marks in its text, never by writing it anew.

`writing` takes braces apart that hold a sentence and quotes what would be misread; `splitting`
makes two steps of one that tells the reader to do another act. Remarks, order and every line that
is right stay as they are. Nothing here writes a file.
"""

from engine.mending.mended import Mended, mended
from engine.mending.splitting import TwoSteps, two_steps

__all__ = ["Mended", "TwoSteps", "mended", "two_steps"]
