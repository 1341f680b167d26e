"""xoshiro128** seeded by splitmix64, written from the published definitions in plain integers.

    python3 random-source.py       writes random-source.json beside this script
"""
import json
from pathlib import Path

M32, M64 = (1 << 32) - 1, (1 << 64) - 1


def splitmix64(state):
    while True:
        state = (state + 0x9E3779B97F4A7C15) & M64
        z = state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & M64
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & M64
        yield z ^ (z >> 31)


def rotl(x, k):
    return ((x << k) | (x >> (32 - k))) & M32


def xoshiro128(s):
    while True:
        yield (rotl(s[1] * 5 & M32, 7) * 9) & M32
        t = (s[1] << 9) & M32
        s[2] ^= s[0]
        s[3] ^= s[1]
        s[1] ^= s[2]
        s[0] ^= s[3]
        s[2] ^= t
        s[3] = rotl(s[3], 11)


def first(seed, count):
    mix = splitmix64(seed & M64)
    a, b = next(mix), next(mix)
    source = xoshiro128([a & M32, a >> 32, b & M32, b >> 32])
    return [next(source) for _ in range(count)]


# splitmix64 of seed 1234567 begins 6457827717110365317, 3203168211198807973 (widely published check of the reference code).
mix = splitmix64(1234567)
assert [next(mix), next(mix)] == [6457827717110365317, 3203168211198807973]
# xoshiro128** of state 1, 2, 3, 4 begins 11520, 0, 5927040, 70819200 (check of the reference code, from memory).
source = xoshiro128([1, 2, 3, 4])
assert [next(source) for _ in range(4)] == [11520, 0, 5927040, 70819200]

out = [dict(seed=seed, outputs=first(seed, 6)) for seed in (0, 1, 20261125, -7)]
Path(__file__).with_suffix('.json').write_text(json.dumps(dict(madeBy='random-source.py', streams=out), indent=1) + '\n')
