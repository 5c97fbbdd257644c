"""Six sealed lines of the Tarn Holm register with their leaves and heads, and the RFC 8032 test key.

The leaves and heads agree between our code, `pymerkle` 7.0.0 and `rfc8785` 0.1.4; those of line 3 also with coreutils.
"""

LINES = [
    row.encode()
    for row in r"""
{"at":"2026-03-02T08:00:00Z","by":"p1","collection":"TH","kind":"opening","line":1,"register":"casts.example/TH","title":"Tarn Holm dune and marsh station","v":1}
{"at":"2026-03-02T09:15:30Z","by":"p1","date":"2011","kind":"transcribed","line":2,"number":"TH 2011.3","object":"Plaster cast, nest of Colletes cunicularius, 212 pieces","register":"casts.example/TH","source":{"book":"Register book 1","entry":"3","page":"14","read_by":"p1","scan_sha256":"ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad","sure":"yes"},"title":"clear","v":1}
{"act":"0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11","at":"2026-03-05T10:02:11Z","by":"p1","entry":"E-2026-4","from_commit":"6241c74a51fe3c863ebb86a31139939c5a9ae6d1002c6a0e3af35eb7924df353","kind":"accession","line":3,"mass_g":"412.60","number":"TH 2026.1","object":"Epoxy cast, shaft of Geotrupes sp.","pieces":1,"register":"casts.example/TH","title":"clear","v":1}
{"at":"2026-03-06T08:40:00Z","by":"p2","corrects":3,"field":"mass_g","ground":"Digits swapped; weighed again on Bal-2","is":"421.60","kind":"correction","line":4,"number":"TH 2026.1","register":"casts.example/TH","v":1,"was":"412.60"}
{"at":"2026-03-09T07:30:00Z","by":"p1","ground":"Number lost: database restored from archive of 2026-03-06; label found on object","kind":"void","line":5,"number":"TH 2026.2","register":"casts.example/TH","v":1}
{"at":"2026-04-09T07:00:00Z","by":"p1","corrects":3,"field":"object","ground":"Determination by Å. Bøe","is":"Epoxy cast, shaft of Typhœus typhoeus (“Zoë’s”) 🐞\n2nd line\t/\\","kind":"correction","line":6,"number":"TH 2026.1","register":"casts.example/TH","v":1,"was":"Epoxy cast, shaft of Geotrupes sp."}
""".strip().split("\n")
]
LENGTHS = [162, 392, 360, 234, 211, 318]
LEAVES = [
    bytes.fromhex(one)
    for one in (
        "56941b02542cc73d748dc462548eeb8513e04dade48c67839f9c49d91c7cf360",
        "2bce136ed3a758fd6e977fd8a2888181dd62a8285186f7ca436e79a7adf54127",
        "8b00c2e084daf55f5b206dd2a94d131e71f5b0de09137e50ae09b8959ebe006b",
        "72456856159468f331fec0ed7c7b69165fc0ab29cd4d2c115f66b14511c1c85d",
        "6ae98bdb82d09e4e7d90a38078cd6a8487fc4a9537f64b9d7fd8064a26e5b9be",
        "2c047c3f9a52c98b4dfde0692b8cdc7a53d8ea61de162556762d5f243f39bdb3",
    )
]
HEADS = [
    bytes.fromhex(one)
    for one in (
        "56941b02542cc73d748dc462548eeb8513e04dade48c67839f9c49d91c7cf360",
        "cb77962311d4c993ea7091bda5a3c64e9e7b3e7faf0b2f9325754cb925e12e21",
        "afc331803e70b2335793014566938a1232fb6263ba3d36a6cb8b461618db0978",
        "ce66212e2c03e468ccf9f9adb03cce1945cd5459980798a8dc1760234ac26b48",
        "b0c200e780f37d2485fef9ff51c50f14e9bbcc81fb49a936f044f1450d46d100",
        "071c3124aefc11f7c929564b3973ab2026cbadd1dc69b36d58a3e0513465cc28",
    )
]

# RFC 8032, 7.1, test 1
SECRET = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
PUBLIC = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")

ORIGIN = "casts.example/TH"
KEY = "casts.example/TH+e8683ee5+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea"
CHECKPOINT = (
    "casts.example/TH\n5\nsMIA54DzfSSF/vn/UcUPFOm7zIH7Sak28ETxRQ1G0QA=\n\n— casts.example/TH "
    "6Gg+5f+5IfZuqCO2J2sf2I/K1zsfYKIvITKWJJXm9NZO1OGy9+DjmF94eno1MLnfQSYxK8+WDKp2uAn82LdgYYFACQ4=\n"
)
