"""Who changed what, when and why. Entries are only ever added."""
