"""What is still possible, and the best next check.

The core knows no tree: `matrix` holds suspects and checks, `belief` what readings leave of them,
`clashes` the readings that no suspect explains together. `splitting` is the problem of finding
the cause as states and the checks that part them (`sets` where readings are never wrong, `odds`
where they may be), `planning` solves it exactly or by rollout, `ranking` chooses the next check,
`repairs` the order of repairs. `signature`, `access` and `from_tree` make all of that from a tree.

Nothing here reads a file or knows a walk's entries: what was answered comes in as words.
"""
