"""Whether a tree's cases, and the proof, notice when the tree is changed for the worse.

A tree is changed in one small way at a time, as a slip of its author would: two answers lead to
each other's place, a step is left out, a cut lies elsewhere, a lock-out is forgotten. Such a
*mutant* is killed when a case beside the tree comes out otherwise, or when a property that was
proved of the tree is no longer proved. One that nothing kills shows what no case looks at.

* `mutant` is one change; `written` finds the steps as written that it is made to.
* `functional` changes what the tree finds, `unsafe` what keeps the person whole. The first are for
  the cases to notice, the second for the proof.
* `killing` holds a mutant against the cases and the proof, `rewalking` walks of the cases only what
  the change can matter to, `equivalence` works out whether it changes anything at all, `trying`
  does so for many and counts.

From mutation testing of programs (DeMillo, Lipton, Sayward, *Hints on test data selection*, IEEE
Computer 11(4), 1978; from memory). That two programs do the same can't be decided; that two steps
give the same answer for every nameplate and every reading can.
"""
