"""What holds on every page, in a headless browser: rules_test.py FOLDER_WITH_PAGES

Prices are those of the JSON, numbers open, headings and tables say what they are, text stands out, keys reach everything,
foreign names stay text, and the page of the islands plate is light and soon ready.
"""
import os
import re

import page_case
from page_case import money

MOST_BYTES = 2.5e6
READY_SECONDS = 1.5
FULL = ("owner", "detail", "compare", "vary", "route")

# Cells that hold a number alone, do not open and are not said to be given.
CLOSED = """Array.from(document.querySelectorAll('main td')).filter(function(c){
  if(c.closest('#values')||c.classList.contains('given')||c.querySelector('details.n'))return false;
  return /^[-+\\u2212]?[0-9][0-9.,]*( ?%| [A-Z]{3})?$/.test(c.innerText.trim());
}).map(c=>c.closest('table').caption.textContent+' / '+
  (c.closest('table').querySelectorAll('thead th')[c.cellIndex]||{textContent:''}).textContent+': '+c.innerText.trim())"""

# Number that opens without saying how it is made, or where its values are from.
MUTE = """Array.from(document.querySelectorAll('main details.n')).filter(function(d){
  var t=d.querySelector(':scope>div');
  return !t||t.textContent.length<12||!(t.querySelector('.from')||t.querySelector('a[href="#values"]'));
}).map(d=>d.textContent.slice(0,120))"""

HEADINGS = "Array.from(document.querySelectorAll('h1,h2,h3,h4')).map(h=>Number(h.tagName[1]))"

TABLES = """Array.from(document.querySelectorAll('table')).filter(function(t){
  return !t.caption||!t.caption.textContent.trim()||!t.querySelector('th[scope=col]')||
    Array.from(t.querySelectorAll('th')).some(h=>!h.scope)||
    Array.from(t.querySelectorAll('tbody tr')).some(r=>r.cells.length&&r.cells[0].tagName!=='TH');
}).map(t=>(t.caption||t).textContent.slice(0,60))"""

# Contrast of every piece of text with the nearest background behind it (WCAG 2.2).
FAINT = """(function(){
  function parse(c){var m=c.match(/[0-9.]+/g).map(Number);return m.length>3&&m[3]===0?null:m.slice(0,3);}
  function light(c){var l=c.map(function(v){v/=255;return v<=0.04045?v/12.92:Math.pow((v+0.055)/1.055,2.4);});
    return 0.2126*l[0]+0.7152*l[1]+0.0722*l[2];}
  var out=[],walk=document.createTreeWalker(document.body,NodeFilter.SHOW_TEXT);
  while(walk.nextNode()){
    var n=walk.currentNode,e=n.parentElement;
    if(!n.textContent.trim()||e.closest('script,style,title'))continue;
    var s=getComputedStyle(e),ink=parse(e.ownerSVGElement?s.fill:s.color),ground=null;
    for(var p=e;p&&!ground;p=p.parentElement)ground=parse(getComputedStyle(p).backgroundColor);
    if(!ink)continue;
    ground=ground||[255,255,255];
    var a=light(ink),b=light(ground),c=(Math.max(a,b)+0.05)/(Math.min(a,b)+0.05);
    if(c<4.5)out.push(n.textContent.trim().slice(0,40)+' '+c.toFixed(2));
  }
  return out;})()"""

# What can be worked with and is not reached by the Tab key.
UNREACHED = """Array.from(document.querySelectorAll('summary,button,select,input,a[href],.scroll,.cl-label')).filter(function(e){
  return e.tabIndex<0&&!e.hidden&&!e.closest('[hidden],.spare');}).map(e=>e.outerHTML.slice(0,80))"""


class Rules(page_case.PageCase):
    def every(self, check, folder=""):
        for name in self.names(folder):
            with self.subTest(page=name):
                check(name, self.open(name))

    def holds_nothing(self, script, folder=""):
        self.every(lambda name, page: self.assertEqual(page.run(script), []), folder)

    def test_every_number_opens_and_says_where_it_is_from(self):
        def check(name, page):
            if any(kind in name for kind in FULL) and "client" not in name:
                self.assertEqual(page.run(CLOSED), [])
                self.assertEqual(page.run(MUTE), [])
        self.every(check)

    def test_headings_go_down_one_level_at_a_time(self):
        def check(_, page):
            levels = page.run(HEADINGS)
            self.assertEqual(levels[0], 1)
            self.assertEqual(levels.count(1), 1)
            for before, after in zip(levels, levels[1:]):
                self.assertLessEqual(after, before + 1)
        self.every(check)

    def test_the_parser_mends_nothing(self):
        """A number that opens ends a paragraph round it, and an empty paragraph is left behind."""
        self.holds_nothing("Array.from(document.querySelectorAll('p:empty')).map(p=>p.parentElement.outerHTML.slice(0,80))")

    def test_tables_say_what_they_are(self):
        self.holds_nothing(TABLES)

    def test_text_stands_out(self):
        self.holds_nothing(FAINT)

    def test_keys_reach_everything(self):
        self.holds_nothing(UNREACHED)

    def test_nothing_scrolls_sideways_and_nothing_complains(self):
        def check(_, page):
            for width in (1600, 800, 360):
                page.size(width, 800)
                page.settle()
                self.assertLessEqual(page.run("document.documentElement.scrollWidth"), width)
            self.assertEqual(page.errors, [])
        for folder in ("", "hostile"):
            self.every(check, folder)

    # Prices.

    def table(self, caption):
        return self.page.run("""Array.from(document.querySelectorAll('table')).filter(t=>t.caption&&t.caption.textContent.
          startsWith(%r)).map(t=>Array.from(t.tBodies[0].rows).map(r=>Array.from(r.cells).map(function(c){
            var s=c.querySelector('summary');return (s||c).innerText.trim();})))""" % caption)

    def foot(self, caption):
        return self.page.run("""Array.from(Array.from(document.querySelectorAll('table')).filter(t=>t.caption&&
          t.caption.textContent.startsWith(%r))[0].tFoot.rows[0].cells).map(c=>(c.querySelector('summary')||c).innerText.trim())""" % caption)

    def check_sheet(self, name):
        page, data = self.open(name + ".html"), self.result(name + ".json")
        batches = data["price"]["batches"]
        for b, batch in enumerate(batches):
            page.run("(function(){var c=document.getElementById('batch');c.value='%d';c.dispatchEvent(new Event('change'))})()" % b)
            page.settle()
            for i, d in enumerate(data["details"]):
                if not d["with_minus_without"]:
                    continue
                want = money(d["with_minus_without"][b]["money"])
                shown = page.run("Array.from(document.querySelectorAll('.tag[data-d=\"%d\"] b,.ladder tr[data-d=\"%d\"] "
                                 "[data-p],.cl-label[data-d=\"%d\"] .cl-price')).map(e=>e.textContent)" % (i, i, i))
                self.assertTrue(shown, d["name"])
                self.assertEqual(set(shown), {want}, d["name"])
        rows = self.page.run("Array.from(document.querySelectorAll('section')).filter(s=>s.querySelector('h2').textContent==="
                             "'By batch')[0].innerText")
        for batch in batches:
            for value in [batch["per_piece"], batch["low"], batch["high"]] + list(batch["lines"].values()):
                self.assertIn(money(value), rows)

    def test_prices_of_the_sheet_are_those_of_the_result(self):
        for name in ("owner", "real-owner", "medlar"):
            with self.subTest(page=name):
                self.check_sheet(name)

    def test_prices_of_a_detail_are_those_of_the_result(self):
        self.open("real-detail.html")
        data = self.result("real-detail.json")
        detail = next(d for d in data["details"] if d["name"] == "island-1")
        want = [money(d["money"]) for d in detail["with_minus_without"]]
        self.assertEqual(self.foot("With minus without, per piece"), ["difference"] + want)
        beside = dict(self.table("Every detail, with minus without")[0])
        self.assertEqual(beside["island-1"], want[data_batch(data)])

    def test_prices_of_variants_are_those_of_the_result(self):
        self.open("real-compare.html")
        data, rows = self.result("real-compare.json"), self.table("Price of a piece")[0]
        self.assertEqual(len(rows), len(data["variants"]))
        for row, variant in zip(rows, data["variants"]):
            self.assertEqual(row[4:], [money(b["per_piece"]) for b in variant["batches"]])
        for lines, against in zip(self.table("Line by line"), data["against"]):
            want = ["%+.2f" % l["money"] for l in against["lines_at_reference_batch"] if l["money"] != 0]
            self.assertEqual([row[1] for row in lines], want)

    def test_prices_of_a_sweep_are_those_of_the_result(self):
        self.open("real-vary.html")
        data, rows = self.result("real-vary.json"), self.table("Every point")[0]
        self.assertEqual(len(rows), len(data["rows"]))
        for row, point in zip(rows, data["rows"]):
            self.assertEqual(row[2:5], [money(point[k]) for k in ("per_piece", "low", "high")])

    def test_prices_of_a_product_are_those_of_the_result(self):
        self.open("real-route.html")
        data = self.result("real-route.json")
        for route in data["variants"][0]["routes"]:
            rows = self.table(route["name"] + ", by batch")[0]
            for row, batch in zip(rows, route["batches"]):
                self.assertEqual(row[1], money(batch["cost_per_set"]))
                self.assertEqual(row[2], money(batch["net_per_set"]))

    def test_the_client_sees_list_prices_and_no_cost(self):
        data = self.result("real-route.json")
        page = self.open("real-routeclient.html")
        text = page.run("document.body.innerText")
        self.assertIn("estimate, not a quote", text)
        self.assertEqual(page.run("document.querySelectorAll('details.n,[data-p]').length"), 0)
        for route in data["variants"][0]["routes"]:
            for batch in route["batches"]:
                self.assertNotIn(money(batch["cost_per_set"]), text)
        listed = self.table("Price of one tool")[0][0]
        self.assertIn("300", listed, "the list price stands at the batch of the answers")

    # Foreign text.

    def check_hostile(self, name, page):
        self.assertIsNone(page.run("window.hurt===undefined?null:window.hurt"))
        self.assertEqual(page.errors, [])
        self.assertEqual(page.dialogs, 0)
        self.assertEqual(page.run("document.images.length+document.querySelectorAll('[onmouseover],[onerror]').length"), 0)
        self.assertFalse(page.run("/[\\u202a-\\u202e\\u2066-\\u2069\\u0080-\\u009f\\u0007\\u001b]/.test(document.body.textContent)"))
        if "evil" in name:
            self.assertIn("onerror=window.hurt=9>" if "route" not in name else "<script>window.hurt=1</script>",
                          page.run("document.body.textContent"))
        if "owner" in name or "detail" in name:
            self.assertGreater(page.run(page_case.DRAWN), 0.03)

    def test_hostile_names_stay_text(self):
        self.every(self.check_hostile, "hostile")
        self.check_hostile("hostile.html", self.open("hostile.html"))

    # Without scripts, without WebGL.

    def test_without_webgl_or_scripts_the_plan_stands_with_the_same_prices(self):
        data = self.result("real-owner.json")
        want = sorted(money(d["with_minus_without"][data_batch(data)]["money"]) for d in data["details"] if d["with_minus_without"])
        for options in ({"scripts": False}, {"webgl": False}):
            with self.subTest(**options), page_case.browser.Browser(page_case.browser.find(), **options) as page:
                page.open(os.path.join(page_case.FOLDER, "real-owner.html"))
                text = page.text("#plan svg")
                for price in want:
                    self.assertIn(price, text)
                self.assertGreater(page.box("#plan svg")[0], 100)
                self.assertEqual(page.box("#solid .stage"), (0, 0))

    # Light and soon ready.

    def process_seconds(self):
        """Processor time of the page's process, all its threads."""
        return {m["name"]: m["value"] for m in self.page.ask("Performance.getMetrics")["metrics"]}["ProcessTime"]

    def test_the_page_of_the_islands_plate_is_light_and_ready(self):
        path = os.path.join(page_case.FOLDER, "medlar.html")
        size = os.path.getsize(path)
        self.assertLess(size, MOST_BYTES)
        self.page.ask("Performance.enable")
        walls, works, spent = [], [], self.process_seconds()
        for _ in range(3):
            self.page.open(path)
            self.assertGreater(self.page.run("Number(document.getElementById('solid').dataset.drawn)"), 0)
            walls.append(self.page.run("new Promise(d=>requestAnimationFrame(()=>requestAnimationFrame(()=>d(performance.now()))))") / 1000)
            works.append(self.process_seconds() - spent)
            spent += works[-1]
        busy = os.getloadavg()[0] > os.cpu_count()
        print("\nislands plate: %.2f MB; drawn and ready after %.2f s (best of three), %.2f s of it at work%s"
              % (size / 1e6, min(walls), min(works), "; this machine is busy with other things" if busy else ""))
        # Where the page waits for a processor that others hold, its own work is held against the bound.
        self.assertLess(min(works) if busy else min(walls), READY_SECONDS)
        self.assertEqual(self.page.errors, [])
        self.assertGreater(self.page.run(page_case.DRAWN), 0.03)


def data_batch(data):
    reference = data["price"]["reference_batch"]
    return next(i for i, b in enumerate(data["price"]["batches"]) if b["size"] == reference)


if __name__ == "__main__":
    page_case.main()
