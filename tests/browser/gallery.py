"""Pictures of pages, to be looked at by people: gallery.py FOLDER

For every page in FOLDER: NAME-wide.png (1600), NAME-narrow.png (360), NAME-whole.png (all of it), NAME-paper.pdf (A4),
and NAME-paper-1.png ... where pdftoppm is installed.
"""
import os
import shutil
import subprocess
import sys

import browser

WIDE, NARROW = (1600, 1000), (360, 740)


def main():
    folder = sys.argv[1]
    program = browser.find()
    if program is None:
        print("skipped: no Chromium is installed, so no picture was made")
        return 77
    with browser.Browser(program) as page:
        for name in sorted(n for n in os.listdir(folder) if n.endswith(".html")):
            stem = os.path.join(folder, name[:-5])
            page.open(os.path.join(folder, name), *WIDE)
            page.settle()
            page.picture(stem + "-wide.png")
            page.picture(stem + "-whole.png", whole=True)
            page.paper(stem + "-paper.pdf")
            if shutil.which("pdftoppm"):
                subprocess.run(["pdftoppm", "-r", "60", "-png", stem + "-paper.pdf", stem + "-paper"], check=True)
            page.open(os.path.join(folder, name), *NARROW)
            page.settle()
            page.picture(stem + "-narrow.png")
            print(name, *(page.errors or ["ok"]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
