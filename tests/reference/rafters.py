"""The rafter table that several tests are held against."""

# Slope [deg] and rafter factor (rafter length over run) of a rise in 12: atan(x/12) and
# hypot(x, 12)/12, evaluated independently and tabulated to the digits shown.
RAFTERS = [
    (1, 4.7636, 1.003466),
    (2, 9.4623, 1.013794),
    (3, 14.0362, 1.030776),
    (4, 18.4349, 1.054093),
    (5, 22.6199, 1.083333),
    (6, 26.5651, 1.118034),
    (7, 30.2564, 1.157704),
    (8, 33.6901, 1.201850),
    (9, 36.8699, 1.250000),
    (10, 39.8056, 1.301708),
    (11, 42.5104, 1.356568),
    (12, 45.0000, 1.414214),
]
