// One photo, as large as the screen.

import { goInPlace } from "../context/history.ts";
import { type Params, useField } from "../context/field.ts";
import { Button, Row } from "../../ui/button.tsx";
import { Frame } from "../../ui/frame.tsx";
import { album } from "../../base/album.ts";
import { ownNameOf } from "../../base/names.ts";
import { captionOf, Shown } from "../../item/photoview.tsx";

export function View({ params }: { params: Params }) {
  const field = useField();
  const of = field.features.find((f) => f.id === params["feature"]);
  const pictures = of ? album(of.id, field.features) : [];
  const at = pictures.findIndex((p) => p.sha === params["sha"]);
  const picture = pictures[at];
  if (!of || !picture)
    return (
      <Frame title="Photo">
        <p>This photo is not on this phone.</p>
      </Frame>
    );
  const go = (to: number) => goInPlace(`#/photo/${of.id}/${pictures[to]!.sha}`);
  return (
    <Frame
      title={ownNameOf(of)}
      under={<p class="soft">{captionOf(picture)}</p>}
      actions={
        (pictures.length > 1 || picture.chosen) && (
          <Row>
            {picture.chosen && (
              <a class="button" href={`#/thing/${picture.feature}/edit`}>
                Edit day
              </a>
            )}
            {pictures.length > 1 && (
              <>
                <Button press={() => go(at + 1)} disabled={at === pictures.length - 1}>
                  Earlier
                </Button>
                <Button press={() => go(at - 1)} disabled={at === 0}>
                  Later
                </Button>
              </>
            )}
          </Row>
        )
      }
    >
      <div class="full">
        <Shown
          store={field.store}
          feature={picture.feature}
          sha={picture.sha}
          says={`Photo of ${ownNameOf(of)}, ${at + 1} of ${pictures.length}`}
        />
      </div>
    </Frame>
  );
}
