// SPDX-License-Identifier: MIT
// A camera that speaks RTSP, as far as one client needs it:
//   node rtsp_camera.js PORT FILM [FROM_S]
// What it sends is made by ffmpeg (RTP over UDP, or in the RTSP connection
// itself when the client asks for that); PLAY begins the film at its own pace.
"use strict";
const dgram = require("dgram"), fs = require("fs"), net = require("net"), os = require("os"), path = require("path");
const { spawn, execFileSync } = require("child_process");
const [port, film, from = "0"] = process.argv.slice(2);
const source = ["-v", "error", "-nostdin", "-re", "-ss", from, "-i", film, "-an", "-c:v", "copy", "-f", "rtp"];
const sdp = path.join(os.tmpdir(), `rtsp-camera-${process.pid}.sdp`);
execFileSync("ffmpeg", ["-v", "error", "-nostdin", "-i", film, "-an", "-c:v", "copy", "-t", "0.1", "-f", "rtp",
  "-sdp_file", sdp, "rtp://127.0.0.1:9"], { stdio: "ignore" });
const describe = fs.readFileSync(sdp, "utf8").split(/\r?\n/).filter((line) => line && !line.startsWith("SDP:"))
  .map((line) => (line.startsWith("m=video") ? line.replace(/ \d+ /, " 0 ") : line))
  .concat("a=control:track1", "").join("\r\n");
fs.unlinkSync(sdp);

net.createServer((client) => {
  let text = "", sender = null, socket = null, ports = null, inside = false;
  const end = () => { if (sender) sender.kill("SIGKILL"); if (socket) socket.close(); sender = socket = null; };
  const answer = (cseq, headers = [], body = "") => client.write(["RTSP/1.0 200 OK", `CSeq: ${cseq}`, ...headers,
    ...(body ? [`Content-Length: ${Buffer.byteLength(body)}`] : []), "", ""].join("\r\n") + body);
  function play() {
    socket = dgram.createSocket("udp4");
    const to = dgram.createSocket("udp4");
    socket.on("message", (packet) => {
      if (!inside) { to.send(packet, ports[0], "127.0.0.1"); return; }
      const head = Buffer.from([0x24, 0, packet.length >> 8, packet.length & 255]);
      client.write(Buffer.concat([head, packet]));
    });
    socket.bind(0, "127.0.0.1", () => {
      sender = spawn("ffmpeg", [...source, `rtp://127.0.0.1:${socket.address().port}?pkt_size=1400`], { stdio: "ignore" });
      sender.on("exit", () => { client.destroy(); });
    });
  }
  client.on("data", (part) => {
    text += part.toString("latin1");
    for (let at; (at = text.indexOf("\r\n\r\n")) >= 0;) {
      const request = text.slice(0, at);
      text = text.slice(at + 4);
      const method = request.slice(0, request.indexOf(" "));
      const cseq = (/CSeq: *(\d+)/i.exec(request) || [])[1];
      if (method === "OPTIONS") answer(cseq, ["Public: OPTIONS, DESCRIBE, SETUP, PLAY, TEARDOWN"]);
      else if (method === "DESCRIBE") answer(cseq, ["Content-Type: application/sdp"], describe);
      else if (method === "SETUP") {
        const wanted = /Transport: *([^\r\n]*)/i.exec(request)[1];
        inside = /interleaved/.test(wanted);
        ports = inside ? null : /client_port=(\d+)-(\d+)/.exec(wanted).slice(1).map(Number);
        answer(cseq, ["Session: 1", `Transport: ${wanted.split(",")[0]}${inside ? "" : ";server_port=9-10"}`]);
      } else if (method === "PLAY") { answer(cseq, ["Session: 1", "Range: npt=0-"]); play(); }
      else { answer(cseq, ["Session: 1"]); if (method === "TEARDOWN") client.end(); }
    }
  });
  client.on("close", end);
  client.on("error", end);
}).listen(Number(port), "127.0.0.1");
