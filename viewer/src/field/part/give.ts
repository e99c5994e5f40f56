// Handing a file out of the page: to another program of the phone where the browser shares
// files of this kind, else into the phone's downloads.

/** How the file left: "cancelled" when the officer thought better of it. */
export type Given = "shared" | "downloaded" | "cancelled";

export async function give(name: string, bytes: Blob): Promise<Given> {
  const file = new File([bytes], name, { type: bytes.type });
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file], title: name });
      return "shared";
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return "cancelled";
      // The browser would not after all: downloads are left.
    }
  }
  const sync = document.createElement("a");
  sync.href = URL.createObjectURL(file);
  sync.download = name;
  document.body.append(sync);
  sync.click();
  sync.remove();
  setTimeout(() => URL.revokeObjectURL(sync.href), 60_000); // once the browser has read it
  return "downloaded";
}
