"""The sums of the radio bench: typed numbers in, figures and a verdict out, nothing else touched.

One module a family. `registry.REGISTRY` names them all and loads a family only when it is asked
for. Three laws hold everywhere: a verdict is reached on exact decimals and never on a rounded or a
binary number; figures are rounded for display only, halves away from zero; a limit met exactly is
inside, unless the source says otherwise.
"""
