"""A headless Chromium driven through its DevTools protocol over a pipe: real clicks, touch, keys,
permissions, printing. For the tests of the guide's page; needs nothing but the browser."""

import base64
import json
import os
import shutil
import subprocess
import tempfile
import time

PROGRAM = next((path for path in map(shutil.which, ("chromium", "chromium-browser")) if path), None)


class Browser:
    def __init__(self):
        self.profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        to_browser, self.write = os.pipe()
        self.read, from_browser = os.pipe()

        def place_pipes():  # the protocol's pipes are 3 and 4
            os.dup2(to_browser, 63), os.dup2(from_browser, 64)
            os.dup2(63, 3), os.dup2(64, 4)

        self.process = subprocess.Popen(
            [PROGRAM, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--remote-debugging-pipe", "--user-data-dir=" + self.profile.name, "about:blank"],
            preexec_fn=place_pipes, close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_browser)
        os.close(from_browser)
        self.number, self.rest, self.events, self.session = 0, b"", [], None
        target = self.send("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.send("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.send(domain + ".enable")

    def close(self):
        try:
            session, self.session = self.session, None
            self.send("Browser.close")
        except (OSError, EOFError):
            pass
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        self.profile.cleanup()

    def receive(self):
        while b"\0" not in self.rest:
            more = os.read(self.read, 1 << 20)
            if not more:
                raise EOFError("the browser is gone")
            self.rest += more
        text, self.rest = self.rest.split(b"\0", 1)
        return json.loads(text)

    def send(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.write, json.dumps(message).encode() + b"\0")
        while True:
            answer = self.receive()
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError("%s: %s" % (method, answer["error"]))
                return answer["result"]
            self.events.append(answer)

    def run(self, script):
        """The value of an expression; a promise is waited for."""
        answer = self.send("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True, userGesture=True)
        if "exceptionDetails" in answer:
            raise RuntimeError("%s: %s" % (script, answer["exceptionDetails"]))
        return answer["result"].get("value")

    def wait(self, script, seconds=60):
        end = time.monotonic() + seconds
        while not self.run("!!(%s)" % script):
            if time.monotonic() > end:
                raise RuntimeError("never: " + script)
            time.sleep(0.02)

    def size(self, width, height, mobile=False):
        self.send("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=mobile)
        self.send("Emulation.setTouchEmulationEnabled", enabled=mobile)

    def open(self, url):
        self.send("Page.navigate", url="about:blank")
        self.send("Page.navigate", url=url)
        self.wait("document.documentElement?.dataset.ready === 'yes'")

    def middle(self, selector, x=0.5, y=0.5):
        """Of what the selector finds, brought into view: x, y on the screen."""
        box = self.run("(async () => { const e = document.querySelector(%s); e.scrollIntoView({block: 'center'});"
                       " for (let i = 0; i < 2; i++) await new Promise(requestAnimationFrame); const b = e.getBoundingClientRect(); return [b.left, b.top, b.width, b.height]; })()"
                       % json.dumps(selector))
        return box[0] + x * box[2], box[1] + y * box[3]

    def click(self, selector, x=0.5, y=0.5):
        x, y = self.middle(selector, x, y)
        for kind in ("mousePressed", "mouseReleased"):
            self.send("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    def tap(self, selector, x=0.5, y=0.5):
        x, y = self.middle(selector, x, y)
        self.send("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        self.send("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    def key(self, key, **more):
        codes = {"Tab": 9, "Enter": 13, "ArrowRight": 39, "ArrowLeft": 37, "ArrowUp": 38, "ArrowDown": 40}
        params = dict(key=key, code=key, windowsVirtualKeyCode=codes[key], **more)
        self.send("Input.dispatchKeyEvent", type="keyDown", **(dict(params, text="\r") if key == "Enter" else params))
        self.send("Input.dispatchKeyEvent", type="keyUp", **params)

    def type(self, selector, text):
        """Text in place of what a field holds."""
        self.click(selector)
        self.run("document.querySelector(%s).select?.()" % json.dumps(selector))
        self.send("Input.insertText", text=text)

    def picture(self, path):
        with open(path, "wb") as file:
            file.write(base64.b64decode(self.send("Page.captureScreenshot", format="png", captureBeyondViewport=True)["data"]))

    def print(self, path):
        with open(path, "wb") as file:
            file.write(base64.b64decode(self.send("Page.printToPDF", printBackground=True, preferCSSPageSize=True)["data"]))
