"""Decoded blocks of all grids, kept for as long as memory allows."""

from __future__ import annotations

from collections import OrderedDict
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Block = tuple[NDArray[np.float32], NDArray[np.bool_]]
Key = tuple[int, int, int]
MOST_BYTES = 64 * 2**20


@lru_cache(maxsize=16)
def all_valid(shape: tuple[int, int]) -> NDArray[np.bool_]:
    """True everywhere; one array, not to be written to, for all blocks of a shape."""
    valid = np.ones(shape, dtype=bool)
    valid.flags.writeable = False
    return valid


class BlockCache:
    """Blocks by (grid, block row, block column); the one used longest ago goes first."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.most_bytes = most_bytes
        self.bytes = 0
        self.decoded = 0
        """Blocks put in so far, for whoever wants to count."""
        self._blocks: OrderedDict[Key, Block] = OrderedDict()

    def get(self, key: Key) -> Block | None:
        """A block, if it is still here."""
        block = self._blocks.get(key)
        if block is not None:
            self._blocks.move_to_end(key)
        return block

    def put(self, key: Key, block: Block) -> None:
        """Keep a block; it is kept even alone when it is larger than all that may be kept."""
        self.decoded += 1
        self._blocks[key] = block
        self.bytes += _size(block)
        while self.bytes > self.most_bytes and len(self._blocks) > 1:
            _, gone = self._blocks.popitem(last=False)
            self.bytes -= _size(gone)

    def clear(self) -> None:
        """Forget all blocks."""
        self._blocks.clear()
        self.bytes = 0


def _size(block: Block) -> int:
    depth, valid = block
    return depth.nbytes + (valid.nbytes if valid.flags.writeable or valid.base is not None else 0)


BLOCKS = BlockCache()
