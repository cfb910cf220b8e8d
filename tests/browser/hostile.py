"""Hostile names through the whole program: hostile.py CHIPLEDGER SAMPLE.step FOLDER

Writes parts and a product file whose names are markup, quotes, other directions of writing, control characters and ten
kilobytes, runs every command that makes a page on them, and holds what comes out against what may come out. The pages
stay in FOLDER for the browser.
"""
import os
import re
import subprocess
import sys

EVIL = ("<script>window.hurt=1</script></script><!--\"><img src=x onerror=\"window.hurt=2\"> ' onmouseover='window.hurt=3 "
        "&lt;b&gt; &#60;i&#62; ${window.hurt=4} \u202egnp.trap\u202c \u2067evil\u2069 \u05d0\u05d1 bell\x07 esc\x1b[31m "
        "c1\x9b31m tab\t end")
LONG = "W" * 10240


def in_step(text):
    """A string of ISO 10303-21: quotes doubled, all but printable ASCII as \\X2\\."""
    out = ""
    for c in text:
        if c == "'":
            out += "''"
        elif c == "\\":
            out += "\\\\"
        elif 0x20 <= ord(c) < 0x7f:
            out += c
        else:
            out += "\\X2\\%04X\\X0\\" % ord(c)
    return "'" + out + "'"


def in_toml(text):
    return '"' + "".join(c if c not in '"\\' and 0x20 <= ord(c) < 0x7f else "\\u%04X" % ord(c) for c in text) + '"'


def part(sample, name, path):
    with open(sample, encoding="ascii") as file:
        text = file.read()
    text, products = re.subn(r"PRODUCT\('[^']*','[^']*'", lambda _: "PRODUCT(%s,%s" % (in_step(name), in_step(name)), text)
    text, faces = re.subn(r"ADVANCED_FACE\('[^']*'", lambda _: "ADVANCED_FACE(" + in_step(name[:200]), text)
    assert products == 1 and faces > 5, "the sample is written otherwise than this test thinks"
    with open(path, "w", encoding="ascii") as file:
        file.write(text)


def run(program, folder, *arguments):
    done = subprocess.run([program, *arguments], cwd=folder, capture_output=True, timeout=600, check=False)
    assert done.returncode in (0, 4), "%s left with %d: %s" % (arguments[0], done.returncode, done.stderr.decode())
    for stream in (done.stdout, done.stderr):
        text = stream.decode("utf-8")  # strict: what is printed is text
        wrong = re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]", text)
        assert not wrong, "%s prints U+%04X: %r" % (arguments[0], ord(wrong[0]), text[max(0, wrong.start() - 40):wrong.end()])
    return done.stdout.decode("utf-8")


def check_svg(path):
    with open(path, encoding="utf-8") as file:
        text = file.read()
    for bad in ("<script", "<img", "onerror=\"", "onmouseover='"):
        assert bad not in text, "%s holds %s" % (path, bad)
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text), path


def main():
    program, sample, folder = os.path.abspath(sys.argv[1]), sys.argv[2], os.path.abspath(sys.argv[3])
    os.makedirs(folder, exist_ok=True)
    evil = "\"><img src=x onerror=window.hurt=9>.step"
    part(sample, EVIL, os.path.join(folder, evil))
    part(sample, LONG, os.path.join(folder, "long.step"))
    with open(os.path.join(folder, "product.toml"), "w", encoding="ascii") as file:
        file.write("name = %s\nbatches = [10, 50]\n[sales]\nlist_price = 400\n[[milled]]\nname = %s\nstep = 'long.step'\n"
                   "[[bought]]\nname = %s\nprice = 3\n[[step]]\nname = %s\nwho = 'bench'\nper_set_min = 5\n"
                   % tuple(in_toml(EVIL + n) for n in " abcd"[1:]))
    quick = ("--cell", "0.2", "--batch", "10,50")
    out = run(program, folder, "price", evil, *quick, "--report", "evil-owner.html", "--plan", "evil.svg", "--json",
              "evil.json", "--csv", "evil.csv")
    assert "<script>window.hurt=1</script>" in out.replace("\n", ""), "the name is printed as it is, for the rest"
    run(program, folder, "look", evil)
    few = ("--no-detail-prices",)
    run(program, folder, "price", "long.step", *quick, "--report", "long-owner.html", "--plan", "long.svg")
    run(program, folder, "price", evil, *quick, *few, "--sheet", "machinist", "--report", "evil-machinist.html")
    run(program, folder, "price", evil, *quick, *few, "--sheet", "client", "--report", "evil-client.html")
    run(program, folder, "detail", evil, "island-1", *quick, "--report", "evil-detail.html")
    run(program, folder, "compare", evil, "long.step", *quick, "--report", "evil-compare.html")
    run(program, folder, "vary", evil, "--set", "island-1.height=2:3:0.5", "--cell", "0.2", "--report", "evil-vary.html")
    run(program, folder, "route", "product.toml", "--cell", "0.2", "--report", "evil-route.html")
    run(program, folder, "route", "product.toml", "--cell", "0.2", "--sheet", "client", "--report", "evil-route-client.html")
    check_svg(os.path.join(folder, "evil.svg"))
    check_svg(os.path.join(folder, "long.svg"))


if __name__ == "__main__":
    main()
