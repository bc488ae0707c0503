// SPDX-License-Identifier: Apache-2.0
// Copyright 2026 The Loftline authors
// Requests by bare sockets, for what no browser sends.

import { connect } from "node:net";

// The cookie that the printed address gives.
export async function cookieOf(server) {
  const answer = await fetch(server.address, { redirect: "manual" });
  return answer.headers.get("set-cookie").split(";")[0];
}

// Sends the header and as much of a body as the server takes within `send_ms`; tells the answer's status and text.
export function sendRaw(server, header, { piece = Buffer.alloc(0), pieces = 0 } = {}) {
  return new Promise((resolve, reject) => {
    const socket = connect({ host: "127.0.0.1", port: server.port });
    let told = "";
    let sent = 0;
    const more = () => {
      while (sent < pieces && told === "") {
        sent += 1;
        if (!socket.write(piece)) {
          socket.once("drain", more);
          return;
        }
      }
    };
    const done = () => {
      socket.destroy();
      const status = Number(/^HTTP\/1\.1 (\d+)/.exec(told)?.[1] ?? 0);
      resolve({ status, text: told.slice(told.indexOf("\r\n\r\n") + 4), sent_bytes: sent * piece.length });
    };
    socket.setTimeout(20_000, () => reject(new Error("no answer")));
    socket.on("connect", () => {
      socket.write(header);
      more();
    });
    socket.on("data", (data) => {
      told += data.toString();
      const length = Number(/content-length: (\d+)/i.exec(told)?.[1] ?? NaN);
      if (told.length - (told.indexOf("\r\n\r\n") + 4) >= length) done();
    });
    socket.on("close", done);
    socket.on("error", () => { if (told !== "") done(); }); // it may close while we still send
  });
}

export const uploadHeader = (server, cookie, bytes, name = "huge.mp4") =>
  `POST /api/clips?name=${name} HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nOrigin: ${server.origin}\r\nCookie: ${cookie}\r\n` +
  `Content-Type: application/octet-stream\r\nContent-Length: ${bytes}\r\n\r\n`;
