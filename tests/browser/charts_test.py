"""Figures of charts and of the drawing open the numbers of the tables: charts_test.py FOLDER_WITH_PAGES

By mouse, by key, without scripts; each shows the number that it opens, and no figure stands there that opens nothing.
"""
import os
import unittest

import page_case

# Every figure that is a link: what it says, the number that it opens, whether that says where it is from.
LINKS = """Array.from(document.querySelectorAll('svg.chart a,figcaption a,a.cl-label,.cut a,.answers>dd>a')).map(function(a){
  var box=document.getElementById(a.getAttribute('href').slice(1)),d=box&&box.closest('details.n');
  var price=a.querySelector('.cl-price'),title=a.querySelector('title');
  var says=price?price.textContent:(a.textContent.trim()||(title?title.textContent:''));
  return [says,d?d.querySelector('summary').textContent:null,
    !!box&&(box.textContent.length>12||!!box.querySelector('p'))&&!!box.querySelector('.from,a[href="#values"]'),
    document.querySelectorAll('[id="'+a.getAttribute('href').slice(1)+'"]').length];})"""

# A number in a chart that is neither a link nor a mark of an axis.
CLOSED = """Array.from(document.querySelectorAll('svg.chart text')).filter(function(t){
  return !t.closest('a')&&!t.classList.contains('scale')&&/^[-+\\u2212]?[0-9][0-9.,]*( ?%| mm| h| min)?$/.test(t.textContent.trim());
}).map(t=>t.textContent)"""

OPEN = "Array.from(document.querySelectorAll('details.n[open]>div')).map(d=>d.id)"
MIDDLE = """(function(){var a=Array.from(document.querySelectorAll('svg.chart a')).filter(e=>e.getBoundingClientRect().width)[%d];
  a.scrollIntoView({block:'center'});var r=(a.querySelector('text')||a).getBoundingClientRect();
  return [r.left+r.width/2,r.top+r.height/2,a.getAttribute('href').slice(1)];})()"""


def numbers(text):
    """Every number of a text, with the half of its last place."""
    found = []
    for word in text.replace("\u2212", "-").replace(",", " ").split():
        word = word.rstrip(":;.%")
        try:
            found.append((float(word), 0.5 * 10 ** -len(word.partition(".")[2]) + 1e-9))
        except ValueError:
            pass
    return found


class Charts(page_case.PageCase):
    def full(self):
        """Pages for the owner; on all of them numbers open."""
        return [n for n in self.names() if "client" not in n and "machinist" not in n]

    def test_every_figure_opens_the_number_that_it_shows(self):
        for name in self.full():
            with self.subTest(page=name):
                page = self.open(name)
                links = page.run(LINKS)
                self.assertGreaterEqual(len(links), 2)
                for says, number, told, count in links:
                    self.assertEqual(count, 1, "%s opens %d places" % (says, count))
                    self.assertTrue(told, "%s opens without saying how it is made" % says)
                    same = [a for a, half in numbers(says) for b, other in numbers(number) if abs(a - b) <= max(half, other)]
                    self.assertTrue(same, "\"%s\" opens \"%s\"" % (says, number))
                self.assertEqual(page.run(CLOSED), [])

    def test_by_mouse_and_again_closes(self):
        page = self.open("owner.html")
        for index in (0, 5, 12):
            x, y, name = page.run(MIDDLE % index)
            for want in ([name], []):
                page.mouse("mousePressed", x, y, button="left")
                page.mouse("mouseReleased", x, y, button="left")
                page.settle()
                self.assertEqual(page.run(OPEN), want)
        self.assertEqual(page.errors, [])

    def test_by_key_and_escape_goes_back_to_the_figure(self):
        page = self.open("owner.html")
        for index in (0, 8):
            name = page.run(MIDDLE % index)[2]
            page.run("Array.from(document.querySelectorAll('svg.chart a')).filter(e=>e.getBoundingClientRect().width)[%d].focus()" % index)
            page.key("Enter", "\r")
            page.settle()
            self.assertEqual(page.run(OPEN), [name])
            self.assertEqual(page.run("document.activeElement.id"), name, "what opened is what is read next")
            page.key("Escape")
            page.settle()
            self.assertEqual(page.run(OPEN), [])
            self.assertEqual(page.run("document.activeElement.getAttribute('href')"), "#" + name)

    def test_without_scripts_a_figure_opens_too(self):
        with page_case.browser.Browser(page_case.browser.find(), scripts=False) as page:
            page.open(os.path.join(page_case.FOLDER, "owner.html"), 1600, 1000)
            first = "div[data-only]:not([hidden]) svg.chart a"
            link = page.node(first)
            name = dict(zip(*[iter(page.ask("DOM.getAttributes", {"nodeId": link})["attributes"])] * 2))["href"][1:]
            opened = "details[open] #" + name
            self.assertEqual(page.node(opened), 0)
            quad = page.ask("DOM.getContentQuads", {"nodeId": page.node(first + " text")})["quads"][0]
            x, y = sum(quad[0::2]) / 4, sum(quad[1::2]) / 4
            page.mouse("mousePressed", x, y, button="left")
            page.mouse("mouseReleased", x, y, button="left")
            for _ in range(50):
                if page.node(opened):
                    break
                page.ask("Page.getLayoutMetrics")
            self.assertNotEqual(page.node(opened), 0)


if __name__ == "__main__":
    page_case.main()
