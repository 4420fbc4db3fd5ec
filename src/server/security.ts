import type { MiddlewareHandler } from "hono";
import { Refusal } from "./problem.ts";

/** Headers of every answer: the page runs its own files only, in a context of its own, and nobody frames or embeds it. */
export const securityHeaders: Readonly<Record<string, string>> = {
  "content-security-policy": [
    "default-src 'none'",
    "script-src 'self' 'wasm-unsafe-eval'",
    "style-src 'self'",
    "img-src 'self' data:",
    "connect-src 'self'",
    "font-src 'self'",
    "worker-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join("; "),
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-embedder-policy": "require-corp",
  "cross-origin-resource-policy": "same-origin",
};

/** An answer with the headers of every answer. */
export function secured(response: Response): Response {
  for (const [name, value] of Object.entries(securityHeaders)) response.headers.set(name, value);
  return response;
}

/** Puts the headers on every answer. */
export const withSecurity: MiddlewareHandler = async (c, next) => {
  await next();
  for (const [name, value] of Object.entries(securityHeaders)) c.res.headers.set(name, value);
};

const loopbackHost = /^(localhost|127(\.\d{1,3}){3}|\[::1\])(:\d{1,5})?$/i;

/** True for a host name or address that only this machine reaches. */
export function isLoopback(host: string): boolean {
  return loopbackHost.test(host.includes(":") && !host.startsWith("[") ? `[${host}]` : host);
}

/**
 * Refuses what a page of another site could make a browser send: requests addressed to a name that was bent to this
 * machine, and requests that change or compute something from another origin.
 */
export function ownRequestsOnly(loopback: boolean): MiddlewareHandler {
  return async (c, next) => {
    const url = new URL(c.req.url);
    const host = c.req.header("host") ?? url.host;
    if (loopback && !(loopbackHost.test(host) && loopbackHost.test(url.host)))
      throw new Refusal("foreign-host", "address this server as localhost or 127.0.0.1");
    if (c.req.method !== "GET" && c.req.method !== "HEAD") {
      const origin = c.req.header("origin");
      const site = c.req.header("sec-fetch-site");
      const own = origin === undefined || origin === `http://${host}` || origin === `https://${host}`;
      if (!own || (site !== undefined && site !== "same-origin" && site !== "none"))
        throw new Refusal("foreign-origin", "send the request from the page this server serves, or from a program");
    }
    await next();
  };
}
