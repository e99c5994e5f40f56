// Photos: the oldest and the newest of an item side by side, the others behind a fold. One
// whose day is not known is neither.

import type { Item, Photo } from "./land.ts";
import { useRows } from "./rows.tsx";
import { day, number } from "./words.ts";

export function Photos({ item, name, link }: { item: Item; name: string; link: string }) {
  const { photos } = item;
  if (photos.length === 0) return null;
  const dated = photos.filter((p) => p.on);
  const [first, last] = [dated[0], dated[dated.length - 1]];
  const shown = first && last ? (first === last ? [last] : [first, last]) : photos.slice(0, 1);
  const rest = photos.filter((p) => !shown.includes(p));
  return (
    <div class="photos">
      <div class={shown.length > 1 ? "pair" : "pair one"}>
        {shown.map((p, i) => (
          <Figure key={p.sha} photo={p} name={name} link={link} which={shown.length < 2 ? "" : i === 0 ? "First" : "Newest"} />
        ))}
      </div>
      {rest.length > 0 && (
        <details class="noprint">
          <summary>{restWords(rest)}</summary>
          <div class="pair">
            {rest.map((p) => (
              <Figure key={p.sha} photo={p} name={name} link={link} which="" />
            ))}
          </div>
        </details>
      )}
    </div>
  );
}

/** "3 more photos between them", "1 more photo (day not known)". */
function restWords(rest: readonly Photo[]): string {
  const undated = rest.filter((p) => !p.on).length;
  const more = `${number(rest.length, 0)} more ${rest.length === 1 ? "photo" : "photos"}`;
  if (undated === 0) return `${more} between them`;
  return `${more} (${undated === rest.length ? "" : `${number(undated, 0)} `}day not known)`;
}

function Figure({ photo, name, link, which }: { photo: Photo; name: string; link: string; which: string }) {
  const when = photo.on ? day(photo.on) : "day not known";
  const at = `${link}/photos/${photo.sha}`;
  return (
    <figure class="photo">
      <a href={at}>
        <img src={`${at}?small=1`} alt={`${name}, ${when}`} width="320" height="240" loading="lazy" decoding="async" />
      </a>
      <figcaption>
        {which ? <b>{which}: </b> : null}
        {when}
      </figcaption>
    </figure>
  );
}

/** Every item that has photos, those with a first and a newest before the others. */
export function PhotoSheet({ items, nameOf, link }: { items: readonly Item[]; nameOf: (item: Item) => string; link: string }) {
  const photographed = items.filter((i) => i.photos.length > 0).sort((a, b) => Math.min(2, b.photos.length) - Math.min(2, a.photos.length));
  const rest = photographed.slice(6);
  const { rows, more } = useRows(rest, 60);
  if (photographed.length === 0) return null;
  const inSight = photographed.slice(0, 6);
  const one = (item: Item) => (
    <section key={item.id} class="photoset" aria-label={`Photos of ${nameOf(item)}`}>
      <h3>{nameOf(item)}</h3>
      <Photos item={item} name={nameOf(item)} link={link} />
    </section>
  );
  return (
    <section class="photosheet" aria-labelledby="photos">
      <h2 id="photos">Photos: first and newest</h2>
      <div class="photosets">{inSight.map(one)}</div>
      {rest.length > 0 && (
        <details>
          <summary>Photos of {number(rest.length, 0)} more places</summary>
          <div class="photosets">{rows.map(one)}</div>
          {more}
        </details>
      )}
    </section>
  );
}
