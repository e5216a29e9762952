"""What a person reads: words and figures in the owner's units, tables, charts and sections."""
