"""A headless Chromium spoken to over a pipe: nothing beyond Python's own library is needed.

The browser reads commands from its descriptor 3 and answers on 4, one JSON object after another, each ended by a zero byte.
"""
import base64
import html
import json
import os
import re
import select
import shutil
import subprocess
import tempfile
import time

NAMES = ("chromium", "chromium-browser", "google-chrome")
ANSWER_SECONDS = 60


def find():
    """Path of the browser, or None."""
    return os.environ.get("CHIPLEDGER_BROWSER") or next((p for p in map(shutil.which, NAMES) if p), None)


class Browser:
    """One page at a time."""

    def __init__(self, program, scripts=True, webgl=True):
        self.folder = tempfile.mkdtemp(prefix="chipledger-browser-")
        to_read, self.to_write = os.pipe()
        self.to_hear, to_answer = os.pipe()

        def wire():
            # Both ends are moved out of the way first: one of them may already be 3 or 4.
            a, b = os.dup(to_read), os.dup(to_answer)
            a, b = (os.dup(a) if a < 5 else a), (os.dup(b) if b < 5 else b)
            os.dup2(a, 3)
            os.dup2(b, 4)

        self.process = subprocess.Popen(
            [program, "--headless", "--no-sandbox", "--remote-debugging-pipe", "--use-gl=angle",
             "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--hide-scrollbars", "--disable-extensions",
             "--disable-background-networking", "--no-first-run", "--user-data-dir=" + self.folder]
            + ([] if webgl else ["--disable-3d-apis"]) + ["about:blank"],
            preexec_fn=wire, close_fds=False, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(to_answer)
        self.heard, self.number, self.errors, self.loaded, self.dialogs = b"", 0, [], False, 0
        target = self.ask("Target.createTarget", {"url": "about:blank"}, None)["targetId"]
        self.session = self.ask("Target.attachToTarget", {"targetId": target, "flatten": True}, None)["sessionId"]
        for domain in ("Page", "Runtime", "Log"):
            self.ask(domain + ".enable")
        if not scripts:
            self.ask("Emulation.setScriptExecutionDisabled", {"value": True})

    def close(self):
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self.to_write)
        os.close(self.to_hear)
        shutil.rmtree(self.folder, ignore_errors=True)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def ask(self, method, params=None, session=True):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params or {}}
        if session:
            message["sessionId"] = self.session
        os.write(self.to_write, json.dumps(message).encode() + b"\0")
        number, end = self.number, time.monotonic() + ANSWER_SECONDS
        while True:
            answer = self.hear(end)
            if answer.get("id") == number:
                if "error" in answer:
                    raise RuntimeError(method + ": " + answer["error"].get("message", ""))
                return answer["result"]

    def hear(self, end):
        while b"\0" not in self.heard:
            if not select.select([self.to_hear], [], [], max(0, end - time.monotonic()))[0]:
                raise TimeoutError("the browser does not answer")
            part = os.read(self.to_hear, 1 << 20)
            if not part:
                raise RuntimeError("the browser ended")
            self.heard += part
        message, self.heard = self.heard.split(b"\0", 1)
        message = json.loads(message)
        self.note(message)
        return message

    def note(self, message):
        method, params = message.get("method"), message.get("params", {})
        if method == "Page.loadEventFired":
            self.loaded = True
        elif method == "Page.javascriptDialogOpening":
            self.dialogs += 1
        elif method == "Runtime.exceptionThrown":
            thrown = params["exceptionDetails"]
            self.errors.append(thrown.get("exception", {}).get("description") or thrown.get("text", ""))
        elif method == "Runtime.consoleAPICalled" and params["type"] in ("error", "assert"):
            self.errors.append(str(params["args"]))
        elif method == "Log.entryAdded" and params["entry"]["level"] == "error":
            self.errors.append(params["entry"]["text"])

    def size(self, width, height):
        self.ask("Emulation.setDeviceMetricsOverride",
                 {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600})

    def open(self, path, width=1600, height=1000):
        self.size(width, height)
        self.errors, self.loaded = [], False
        self.ask("Page.navigate", {"url": "file://" + os.path.abspath(path)})
        end = time.monotonic() + ANSWER_SECONDS
        while not self.loaded:
            self.hear(end)

    def run(self, script):
        """The value of an expression in the page; a promise is waited for."""
        result = self.ask("Runtime.evaluate", {"expression": script, "returnByValue": True, "awaitPromise": True})
        if "exceptionDetails" in result:
            raise RuntimeError(result["exceptionDetails"].get("exception", {}).get("description", "script fault"))
        return result["result"].get("value")

    def node(self, selector):
        """Of the page as it stands; works without scripts too."""
        root = self.ask("DOM.getDocument", {"depth": 1})["root"]["nodeId"]
        return self.ask("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]

    def text(self, selector):
        markup = self.ask("DOM.getOuterHTML", {"nodeId": self.node(selector)})["outerHTML"]
        return html.unescape(re.sub("<[^>]*>", " ", markup))

    def box(self, selector):
        """Width and height; nothing where it is not shown."""
        try:
            model = self.ask("DOM.getBoxModel", {"nodeId": self.node(selector)})["model"]
            return model["width"], model["height"]
        except RuntimeError:
            return 0, 0

    def settle(self):
        """Two drawn frames later."""
        self.run("new Promise(d=>requestAnimationFrame(()=>requestAnimationFrame(()=>d(1))))")

    def mouse(self, kind, x, y, button="none"):
        self.ask("Input.dispatchMouseEvent",
                 {"type": kind, "x": x, "y": y, "button": button, "clickCount": 1 if button != "none" else 0})

    def key(self, name, text=""):
        """Enter follows a link only with its text, a carriage return."""
        for kind in ("keyDown" if text else "rawKeyDown", "keyUp"):
            self.ask("Input.dispatchKeyEvent", {"type": kind, "key": name, "code": name, "text": text if kind == "keyDown" else "",
                                                "windowsVirtualKeyCode": {"Tab": 9, "Escape": 27, "Enter": 13,
                                                                          "ArrowLeft": 37, "ArrowUp": 38,
                                                                          "ArrowRight": 39, "ArrowDown": 40,
                                                                          "Home": 36}.get(name, 0)})

    def picture(self, path, whole=False):
        data = self.ask("Page.captureScreenshot", {"format": "png", "captureBeyondViewport": whole})["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(data))

    def paper(self, path):
        data = self.ask("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": True})["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(data))
