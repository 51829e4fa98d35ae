"""Plans built another way than the program's: each operation is tried at every moment at which anything begins or ends."""

from itertools import pairwise
from math import ceil, floor, inf

from workbook.shop.labour import StageKind

CLOSE = 1e-6


class PlainBench:
    """The work done so far, as a list."""

    def __init__(self, stints):
        self.stints, self.done, self.held = stints, [], []
        lengths = sorted(each.end - each.start for each in stints)
        self.longest, self.usual = lengths[-1], lengths[len(lengths) // 2]

    def fits(self, operation, start, stint, left):
        """How many blades can begin at a moment, and whether with a set-up."""
        busy = [(a, b, stage) for a, b, stage in self.done if b > a]
        if any(a - CLOSE <= start < b - CLOSE for a, b, _ in busy) or not stint.start - CLOSE <= start <= stint.end + CLOSE:
            return 0.0, True
        until = min([a for a, _, _ in busy if a > start - CLOSE], default=inf)
        until = min(until, stint.end)
        if operation.kind is StageKind.ATTENDED:
            until = min(until, stint.end - operation.wait)
        if operation.holds:
            held = [(a, b) for name, a, b in self.held if name == operation.holds]
            if any(a - CLOSE < start < b - CLOSE for a, b in held):
                return 0.0, True
            until = min([until, *(a - operation.wait for a, _ in held if a > start - CLOSE)])
        before = [stage for a, b, stage in busy if abs(b - start) < CLOSE and a >= stint.start - CLOSE]
        set_up = operation.stage not in before
        room = until - start - (operation.set_up if set_up else 0.0)
        return self.blades(operation, room, left), set_up

    def blades(self, operation, room, left):
        if room < -CLOSE:
            return 0.0
        wanted = min(left, operation.at_once or left)
        if operation.each * wanted <= room + CLOSE:
            return wanted
        attended = operation.wait if operation.kind is StageKind.ATTENDED else 0.0
        most = floor((self.longest - operation.set_up - attended) / operation.each + CLOSE)
        if operation.set_up + operation.each > self.usual + CLOSE and operation.kind is StageKind.HANDS_ON:
            return room / operation.each if room >= 5 else 0.0
        worth = max(min(ceil(operation.set_up / operation.each - CLOSE), most), 1)
        whole = floor(room / operation.each + CLOSE)
        return float(whole) if whole >= worth else 0.0

    def put(self, operation, ready):
        """Place an operation; returns when its wait is over."""
        left, end = float(operation.pieces), inf
        while left > CLOSE:
            moments = {ready, *(each.start for each in self.stints), *(b for _, b, _ in self.done), *(b for _, _, b in self.held)}
            for start in sorted(each for each in moments if each >= ready - CLOSE):
                stint = next((s for s in self.stints if s.start - CLOSE <= start <= s.end + CLOSE), None)
                pieces, set_up = self.fits(operation, start, stint, left) if stint else (0.0, True)
                if pieces:
                    end = start + operation.each * pieces + (operation.set_up if set_up else 0.0)
                    self.done.append((start, end, operation.stage))
                    if operation.holds:
                        self.held.append((operation.holds, start, end + operation.wait))
                    left, ready = left - pieces, end
                    break
            else:
                return inf
        return end + operation.wait


def plain_dates(lots, order, stints):
    """When each lot is done, in an order."""
    bench, at, ready = PlainBench(stints), [0] * len(lots), [lot.ready for lot in lots]
    for n in order:
        if ready[n] < inf:
            ready[n] = bench.put(lots[n].operations[at[n]], ready[n])
            at[n] += 1
    return ready


def broken(lots, stints, plan):
    """What is wrong with a plan, in words; nothing where it holds all that a shop is bound by."""
    blocks = plan.blocks
    for one, other in pairwise(blocks):
        if other.start < one.end - CLOSE:
            yield f"{one} and {other} at once"
    held = []
    for n, block in enumerate(blocks):
        operation = lots[block.lot].operations[block.operation]
        stint = next((s for s in stints if s.start - CLOSE <= block.start and block.end <= s.end + CLOSE), None)
        if stint is None:
            yield f"{block} outside the hours"
            continue
        if operation.kind is StageKind.ATTENDED and block.end + operation.wait > stint.end + CLOSE:
            yield f"{block} leaves its fire"
        if operation.kind is not StageKind.HANDS_ON and abs(block.pieces - round(block.pieces)) > CLOSE:
            yield f"{block} parts a blade"
        if operation.at_once and block.pieces > operation.at_once + CLOSE:
            yield f"{block} takes too many at once"
        work = operation.each * block.pieces + operation.set_up * block.set_up
        if abs(block.end - block.start - work) > CLOSE:
            yield f"{block} takes {work}"
        before = blocks[n - 1] if n else None
        shared = before and abs(before.end - block.start) < CLOSE and before.start >= stint.start - CLOSE
        if not block.set_up and not (shared and lots[before.lot].operations[before.operation].stage == operation.stage):
            yield f"{block} lacks its set-up"
        if operation.holds:
            held.append((operation.holds, block.start, block.end + operation.wait, block))
    for n, (name, start, end, block) in enumerate(held):
        for other_name, other_start, other_end, other in held[n + 1 :]:
            if name == other_name and other_start < end - CLOSE and start < other_end - CLOSE:
                yield f"{block} and {other} both hold the {name}"
    yield from _out_of_turn(lots, plan)


def _out_of_turn(lots, plan):
    for n, lot in enumerate(lots):
        ready = lot.ready
        for at, operation in enumerate(lot.operations):
            own = [block for block in plan.blocks if (block.lot, block.operation) == (n, at)]
            if any(block.start < ready - CLOSE for block in own):
                yield f"{lot.key} {at} before {ready}"
            pieces = sum(block.pieces for block in own)
            if pieces > operation.pieces + CLOSE:
                yield f"{lot.key} {at}: {pieces} of {operation.pieces}"
            if pieces < operation.pieces - CLOSE:
                if plan.done[n] < inf:
                    yield f"{lot.key} {at}: only {pieces} of {operation.pieces}"
                break
            ready = max(block.end for block in own) + operation.wait
        else:
            if abs(ready - plan.done[n]) > CLOSE:
                yield f"{lot.key} done at {plan.done[n]}, not {ready}"
