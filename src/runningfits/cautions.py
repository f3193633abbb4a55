"""The usual cautions, the same on every face and in every file."""

CAUTIONS = (
    "The maker's current book for that engine rules; aviation and certified work only to approved data by licensed "
    "people.",
    "A pass on size is not a pass on cracks, hardness, finish or condition. Stop if it binds.",
)
