"""The figures of the trade, one module per subject; `catalogue` lists each of them once."""
