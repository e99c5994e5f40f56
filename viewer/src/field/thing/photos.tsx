// The photos of a thing that are on this phone, small.

import { useEffect, useState } from "preact/hooks";
import type { Feature } from "../entry.ts";
import { useField } from "../field.ts";

export function Photos({ feature, name }: { feature: Feature; name: string }) {
  const field = useField();
  const [shown, setShown] = useState<readonly { sha: string; address: string; sent: boolean }[]>([]);
  const named = Array.isArray(feature.fields["photos"]) ? (feature.fields["photos"] as unknown[]).length : 0;
  useEffect(() => {
    let here = true;
    const made: string[] = [];
    const load = async () => {
      const photos = await field.shelf.photos(feature.id);
      for (const photo of photos) {
        const bytes = await photo.bytes();
        if (!here) return;
        const address = URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" }));
        made.push(address);
        setShown((before) => [...before, { sha: photo.sha, address, sent: photo.sent }]);
      }
    };
    setShown([]);
    load().catch(() => {}); // the rest of the thing is worth reading without them
    return () => {
      here = false;
      made.forEach((address) => URL.revokeObjectURL(address));
    };
  }, [feature.id, named]);
  if (named === 0) return null;
  return (
    <>
      <h2>Photos</h2>
      <ul class="photos">
        {shown.map((p, i) => (
          <li key={p.sha}>
            <img src={p.address} alt={`Photo ${i + 1} of ${name}`} />
            {!p.sent && <span class="soft">not sent</span>}
          </li>
        ))}
      </ul>
      {shown.length < named && <p class="soft">{named - shown.length} more are on the server.</p>}
    </>
  );
}
