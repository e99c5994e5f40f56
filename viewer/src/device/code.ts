// Reading a one-time code: pure. What was scanned or pasted may be the code itself or the
// address that the office shows, which ends in #/enrol/CODE.

import { device } from "../base/page.ts";

export function codeIn(text: string): string {
  const address = /#\/enrol\/([^/?#\s]+)/.exec(text);
  return (address ? decoded(address[1]!) : text).trim().toUpperCase();
}

/** The code in what a camera read; undefined when that is not one of the office's. */
export function codeScanned(text: string): string | undefined {
  const code = codeIn(text);
  return /^[0-9A-Z]{5}-[0-9A-Z]{5}$/.test(code) ? code : undefined;
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

/** Where the page is, as far as it decides whether anything may be recorded in it. */
export interface Where {
  readonly secure: boolean; // the browser trusts the connection
  readonly appleMobile: boolean;
  readonly installed: boolean; // opened from the home screen
}

/** Why this page must not be enrolled here; undefined when it may. */
export function mayNot(where: Where): { what: string; todo: string } | undefined {
  if (!where.secure) {
    return {
      what: "This address is not secure, so the browser keeps nothing safely here.",
      todo: "Ask the office for the address that begins with https, and open that.",
    };
  }
  if (where.appleMobile && !where.installed) {
    return {
      what: `On this ${device === "phone" ? "phone" : "tablet"} the browser throws away what a page in a tab has stored, after a week without a visit.`,
      todo: "Press the Share button, choose Add to Home Screen, open it from there and enrol then.",
    };
  }
  return undefined;
}

export function whereNow(): Where {
  const apple = /iP(hone|ad|od)/.test(navigator.userAgent) || (/Mac/.test(navigator.userAgent) && navigator.maxTouchPoints > 1);
  const standalone = (navigator as Navigator & { standalone?: boolean }).standalone === true;
  return { secure: isSecureContext, appleMobile: apple, installed: standalone || matchMedia("(display-mode: standalone)").matches };
}
