"""The kinds of exercise, one file each; a kind's file name is its name. See `exercises.kind`."""
