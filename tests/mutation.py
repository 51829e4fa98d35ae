"""Bytes changed at random, as damage or malice may change a file."""


def mutated(data, chance, pieces):
    """Some bytes changed, cut out, doubled, put in, or the rest cut off."""
    made = bytearray(data)
    for _ in range(chance.randrange(1, 6)):
        at = chance.randrange(len(made))
        match chance.randrange(9):
            case 0 | 1:
                made[at] = chance.randrange(256)
            case 2 | 3:
                del made[at : at + chance.randrange(1, 40)]
            case 4 | 5:
                made[at:at] = made[max(0, at - 60) : at]
            case 6 | 7:
                made[at:at] = chance.choice(pieces)
            case _:
                del made[at:]
        if not made:
            break
    return bytes(made)
