"""What the tests of pages share: one browser for all of them, pages by name, results as JSON."""
import json
import os
import sys
import unittest

import browser

SKIPPED = 77
FOLDER = "."

# Share of the canvas that is not background.
DRAWN = """(function(){
  var c=document.querySelector('#solid canvas'),k=document.createElement('canvas');
  k.width=c.width;k.height=c.height;
  var g=k.getContext('2d');g.drawImage(c,0,0);
  var p=g.getImageData(0,0,k.width,k.height).data,n=0;
  for(var i=0;i<p.length;i+=4)if(p[i]<250||p[i+1]<250||p[i+2]<250)n++;
  return n/(p.length/4);})()"""


def money(value):
    return "%.2f" % value


class PageCase(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.page = browser.Browser(browser.find())

    @classmethod
    def tearDownClass(cls):
        cls.page.close()

    def open(self, name, width=1600, height=1000):
        self.page.open(os.path.join(FOLDER, name), width, height)
        self.page.settle()
        return self.page

    def result(self, name):
        with open(os.path.join(FOLDER, name), encoding="utf-8") as file:
            return json.load(file)

    def names(self, folder=""):
        found = sorted(n for n in os.listdir(os.path.join(FOLDER, folder)) if n.endswith(".html"))
        self.assertGreater(len(found), 3)
        return [os.path.join(folder, n) for n in found]


def main():
    global FOLDER
    if browser.find() is None:
        print("skipped: no Chromium is installed, so no page was looked at")
        sys.exit(SKIPPED)
    sys.modules["page_case"].FOLDER = FOLDER = sys.argv[1]
    unittest.main(argv=sys.argv[:1])
