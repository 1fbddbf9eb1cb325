"""Pages that a plan or a set is written on."""
