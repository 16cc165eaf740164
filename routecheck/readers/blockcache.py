"""Decoded blocks of all grids, kept for as long as memory allows; and open files, a few."""

from __future__ import annotations

import os
from collections import OrderedDict
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

Block = tuple[NDArray[np.float32], NDArray[np.bool_]]
Key = tuple[int, int, int]
MOST_BYTES = 64 * 2**20
MOST_OPEN = 8


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


class OpenFiles:
    """Open datasets by grid; the one used longest ago is closed first. Not shared with forks."""

    def __init__(self, most: int = MOST_OPEN) -> None:
        self.most = most
        self._process = os.getpid()
        self._open: OrderedDict[int, Any] = OrderedDict()

    def get(self, key: int) -> Any | None:
        """A dataset, if it is still open."""
        if self._process != os.getpid():
            # The parent's: to use or close them here would be to use or close its files.
            self._open, self._process = OrderedDict(), os.getpid()
        dataset = self._open.get(key)
        if dataset is not None:
            self._open.move_to_end(key)
        return dataset

    def put(self, key: int, dataset: Any) -> None:
        """Keep a dataset open."""
        self._open[key] = dataset
        while len(self._open) > self.most:
            _, gone = self._open.popitem(last=False)
            gone.close()

    def drop(self, key: int) -> None:
        """Close one."""
        dataset = self._open.pop(key, None)
        if dataset is not None:
            dataset.close()


BLOCKS = BlockCache()
FILES = OpenFiles()
