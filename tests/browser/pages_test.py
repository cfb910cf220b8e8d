"""What the pages do, in a headless browser: pages_test.py FOLDER_WITH_PAGES

Turning, lighting, labels, opening, the choice of batch. Pages are written by write_pages from hand-made results.
"""
import os
import unittest

import browser
import page_case

# Feet and ends of the leaders, and whether two of them cross.
CROSSINGS = """(function(){
  var lines=Array.from(document.querySelectorAll(SELECTOR)).map(p=>p.getAttribute('d').match(/-?[0-9.]+/g).map(Number));
  var side=(a,b,c)=>(b[0]-a[0])*(c[1]-a[1])-(b[1]-a[1])*(c[0]-a[0]),n=0;
  for(var i=0;i<lines.length;i++)for(var j=0;j<i;j++){
    var a=lines[i].slice(0,2),b=lines[i].slice(2,4),c=lines[j].slice(0,2),d=lines[j].slice(2,4);
    if(side(a,b,c)*side(a,b,d)<-1e-6&&side(c,d,a)*side(c,d,b)<-1e-6)n++;
  }
  return [lines.length,n];})()"""

PICTURE = "document.querySelector('#solid canvas').toDataURL()"


class Pages(page_case.PageCase):
    def turning(self):
        """The hand-made page with a part to turn, and those of real parts where they were written."""
        there = [n for n in ("real-owner.html", "medlar.html") if n in self.names()]
        return ["owner.html"] + there

    def lit(self):
        return sorted(set(self.page.run("Array.from(document.querySelectorAll('.lit[data-d]')).map(e=>e.dataset.d)")))

    def test_the_part_is_drawn_and_turns_by_key_and_mouse(self):
        page = self.open("owner.html")
        self.assertGreater(page.run(page_case.DRAWN), 0.03)
        self.assertFalse(page.run("getComputedStyle(document.getElementById('plan')).display!=='none'"),
                         "plan and turned part stand in the same place")
        seen = page.run(PICTURE)
        page.run("document.querySelector('.stage').focus()")
        for key in ("ArrowLeft", "ArrowUp"):
            page.key(key)
            page.settle()
            now = page.run(PICTURE)
            self.assertNotEqual(seen, now, key)
            seen = now
        box = page.run("(function(){var r=document.querySelector('.stage').getBoundingClientRect();"
                       "return [r.left+r.width/2,r.top+r.height/2]})()")
        page.mouse("mousePressed", *box, button="left")
        page.mouse("mouseMoved", box[0] + 60, box[1] + 20, button="left")
        page.mouse("mouseReleased", box[0] + 60, box[1] + 20, button="left")
        page.settle()
        self.assertNotEqual(seen, page.run(PICTURE), "mouse")
        seen = page.run(PICTURE)
        page.run("document.getElementById('ghost').click()")
        page.settle()
        self.assertNotEqual(seen, page.run(PICTURE), "blank")
        self.assertEqual(page.errors, [])

    def test_leaders_do_not_cross_however_it_is_turned(self):
        for name in self.turning():
            page = self.open(name)
            for width in (1600, 700, 360):
                page.size(width, 800)
                page.settle()
                for turn in range(24 if name == "owner.html" else 6):
                    page.run("document.querySelector('.stage').focus()")
                    page.key("ArrowRight" if turn % 3 else "ArrowDown")
                    page.settle()
                    count, crossed = page.run(CROSSINGS.replace("SELECTOR", "'#solid svg.leaders path'"))
                    self.assertGreater(count, 0)
                    self.assertEqual(crossed, 0, "%s, turn %d at %d" % (name, turn, width))

    def test_labels_of_the_turned_part_stay_on_the_stage_and_apart(self):
        for name, width in ((n, w) for n in self.turning() for w in (1600, 360)):
            page = self.open(name)
            page.size(width, 800)
            page.settle()
            wrong = page.run("""(function(){
              var s=document.querySelector('.stage').getBoundingClientRect(),out=[];
              var t=Array.from(document.querySelectorAll('#solid .tag')).filter(e=>!e.hidden).map(e=>[e.textContent,e.getBoundingClientRect()]);
              t.forEach(function(a,i){var r=a[1];
                if(r.left<s.left-1||r.right>s.right+1||r.top<s.top-1||r.bottom>s.bottom+1)out.push(a[0]+' off');
                t.slice(0,i).forEach(function(b){var q=b[1];
                  if(r.left<q.right-1&&q.left<r.right-1&&r.top<q.bottom-1&&q.top<r.bottom-1)out.push(a[0]+' on '+b[0]);});});
              return out;})()""")
            self.assertEqual(wrong, [], "%s at %d" % (name, width))

    def test_a_row_lights_its_detail_and_the_part_lights_the_row(self):
        page = self.open("owner.html")
        data = self.result("owner.json")
        names = [d["name"] for d in data["details"]]
        island = str(names.index("island-1"))
        page.run("document.querySelector('.ladder tr[data-d=\"%s\"]').focus()" % island)
        page.settle()
        self.assertEqual(self.lit(), [island])
        self.assertTrue(page.run("document.querySelector('#solid .tag[data-d=\"%s\"]').classList.contains('lit')" % island))
        page.run("document.activeElement.blur()")
        self.assertEqual(self.lit(), [])
        # The foot of the leader of a label lies on its detail.
        page.run("document.querySelector('[data-see=outer]').click()")
        page.settle()
        for name in ("island-1", "island-2"):
            index = names.index(name)
            foot = page.run("""(function(){
              var tag=document.querySelector('#solid .tag[data-d="%d"]'),r=tag.getBoundingClientRect(),s=document.querySelector('.stage').getBoundingClientRect();
              var x=r.left+r.width/2-s.left,best=null,away=1e9;
              document.querySelectorAll('#solid svg.leaders path').forEach(function(p){
                var n=p.getAttribute('d').match(/-?[0-9.]+/g).map(Number),d=Math.hypot(n[2]-x,n[3]-(r.top<s.top+s.height/2?r.bottom:r.top)+s.top);
                if(d<away){away=d;best=n;}});
              return [best[0]+s.left,best[1]+s.top];})()""" % index)
            page.mouse("mouseMoved", 5, 5)
            page.mouse("mouseMoved", *foot)
            page.settle()
            self.assertEqual(self.lit(), [str(index)], name)
        page.mouse("mouseMoved", 5, 5)

    def test_every_row_lights_its_own_detail_and_label(self):
        for name in self.turning():
            page = self.open(name)
            rows = page.run("Array.from(document.querySelectorAll('.ladder tr[data-d]')).map(r=>[r.dataset.d,r.querySelector('th').firstChild.textContent])")
            self.assertGreater(len(rows), 0)
            for index, words in rows:
                page.run("document.querySelector('.ladder tr[data-d=\"%s\"]').focus()" % index)
                page.settle()
                self.assertEqual(self.lit(), [index], "%s, %s" % (name, words))
                self.assertEqual(page.run("Array.from(document.querySelectorAll('#solid .tag.lit')).map(t=>t.firstElementChild.textContent)"), [words])

    def test_tab_reaches_labels_and_lights_them(self):
        page = self.open("owner.html")
        page.run("document.querySelector('.stage').focus()")
        page.key("Tab")
        page.settle()
        self.assertTrue(page.run("document.activeElement.classList.contains('tag')"))
        self.assertEqual(self.lit(), [page.run("document.activeElement.dataset.d")])

    def test_a_label_opens_the_number_of_its_detail(self):
        page = self.open("owner.html")
        names = [d["name"] for d in self.result("owner.json")["details"]]
        island = names.index("island-1")
        page.run("document.querySelector('#solid .tag[data-d=\"%d\"]').click()" % island)
        page.settle()
        opened = page.run("Array.from(document.querySelectorAll('details.n[open]')).map(d=>d.closest('tr').dataset.d)")
        self.assertEqual(opened, [str(island)])
        self.assertIn("with minus without", page.run("document.querySelector('details.n[open]>div').innerText"))

    def test_numbers_open_by_key_and_say_where_they_are_from(self):
        page = self.open("owner.html")
        page.run("document.querySelector('details.n>summary').focus()")
        page.key("Enter")
        page.run("document.querySelector('details.n>summary').click()")
        page.settle()
        self.assertEqual(page.run("document.querySelectorAll('details.n[open]').length"), 1)
        page.key("Escape")
        self.assertEqual(page.run("document.querySelectorAll('details.n[open]').length"), 0)

    def test_without_scripts_the_plan_stands_in_its_place(self):
        with browser.Browser(browser.find(), scripts=False) as page:
            page.open(os.path.join(page_case.FOLDER, "owner.html"))
            shown = page.ask("DOM.getDocument", {"depth": 1})["root"]["nodeId"]
            for selector, there in (("#plan svg", True), ("#solid .stage", False)):
                node = page.ask("DOM.querySelector", {"nodeId": shown, "selector": selector})["nodeId"]
                try:
                    box = page.ask("DOM.getBoxModel", {"nodeId": node})["model"]
                    self.assertEqual(box["width"] > 100, there, selector)
                except RuntimeError:
                    self.assertFalse(there, selector)

    def test_the_machinist_and_the_client_see_their_own(self):
        for name in ("machinist.html", "client.html"):
            page = self.open(name)
            self.assertEqual(page.run("document.querySelectorAll('[data-p]').length"), 0)
        self.assertNotIn("EUR", self.open("machinist.html").run("document.body.innerText"))


if __name__ == "__main__":
    page_case.main()
