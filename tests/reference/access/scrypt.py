"""Keys of scrypt (RFC 7914) at the cost that passwords are kept with, by Python's hashlib (OpenSSL)."""
import base64, hashlib, json, ssl, sys

def kept(password: str, salt: bytes, n: int, r: int, p: int) -> str:
    key = hashlib.scrypt(password.encode(), salt=salt, n=n, r=r, p=p, maxmem=256 * n * r, dklen=32)
    text = lambda b: base64.urlsafe_b64encode(b).rstrip(b"=").decode()
    return f"scrypt:{n}:{r}:{p}:{text(salt)}:{text(key)}"

cases = [
    ("a kiln of one's own", bytes(range(16)), 2**15, 8, 3),
    ("Öfen über Öfen", bytes(range(16, 32)), 2**15, 8, 3),
    # What an earlier or a later cost would have left on record.
    ("a kiln of one's own", bytes(range(16)), 2**14, 8, 1),
]
json.dump(
    {
        "made by": f"Python {sys.version.split()[0]}, {ssl.OPENSSL_VERSION}",
        "cases": [{"password": c[0], "kept": kept(*c)} for c in cases],
    },
    open("tests/reference/access/scrypt.json", "w"),
    ensure_ascii=False,
    indent=1,
)
