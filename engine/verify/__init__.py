"""Prove a tree before anybody walks it.

`proving.prove` returns for each property whether it holds on every walk, with a shortest walk that
shows where it does not. How it is done, from the bottom up:

* `ways` is the tree as a graph of places (a step, and the stage the work is in) and the ways
  between them: every answer, every *can't*, every nameplate that cannot be read. `stages` asks the
  session which change of stage comes first; `cases` says what a way needs to be open. `graph`
  numbers what can be come to from the start.
* `slices` cuts the power model: a rule speaks of one zone, device, box or item. `domain` holds
  sets of states of every slice at once; `flow` spreads them over the graph until nothing new
  comes, with changes of stage as subroutines. What is permitted, and what changes, is asked of
  `engine.power` itself.
* Where `flow` finds that something stands against a step, it may be on a walk that answers one
  question in two ways. `backward` searches from there back to the start, exactly, and remembers of
  what was answered only what turns out to matter (`stretches`, `passages`, `knowing`).
* `rules`, `ending`, `reaching`, `warning`, `fresh`, `costs` and `loaded` are the properties;
  `accepting` is what a reviewed tree may leave open.

What is proved is proved of the tree and the model: for every allowed nameplate, every answer, every
reason why a step cannot be done, STOP anywhere. It is as true as the labels in the tree, the layout
and what the technician reports. What the session puts in by itself (a step of its own before one
that is refused, a stage entered anew) is not relied on. Taking back an entry, leaving and coming
back are not walks of the tree: there the session asks the power model again, and
`tests/property` holds that history never makes anything safer. Whether a reading is ever seen on a
real unit is for the trial to say.

The search is that of explicit-state model checking with counter-examples refined where they cannot
be (Clarke, Grumberg, Jha, Lu, Veith, *Counterexample-guided abstraction refinement*, CAV 2000) and
procedures summarised by what goes in and what comes out (Reps, Horwitz, Sagiv, *Precise
interprocedural dataflow analysis via graph reachability*, POPL 1995); both from memory.
"""
