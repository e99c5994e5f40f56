// What to do first on the property: the cause upslope before the gully.

import { useState } from "preact/hooks";
import type { Order, Place } from "../../compute/order.ts";
import { kindNamed } from "../../base/kinds.ts";
import { unbroken } from "../../base/number.ts";
import { plainProblem, type Problem } from "../../base/problem.ts";
import { called, dayOf } from "../../base/words.ts";
import { billWords, inSteps, proposedWords, worksWords } from "../../survey/plan/order.ts";
import { Frame, Opening } from "../../ui/frame.tsx";
import { useAsking } from "../../ui/hooks.ts";
import { Fold } from "../../ui/panel.tsx";
import { type Params, useField } from "../context/field.ts";
import { LeftOut, ToWatch } from "../part/leftout.tsx";

const title = "What to do first";

export function OrderScreen(_: { params: Params }) {
  const { plans, property, features } = useField();
  const [heard, hear] = useState<{ order?: Order; refused?: Problem }>({});
  useAsking(
    () => plans.order(property.id, features, dayOf(new Date())).then((order) => ({ order })),
    [features],
    hear,
    (refused) => hear({ refused: plainProblem(refused as Problem) }),
  );
  const { order, refused } = heard;
  if (!order) return <Opening title={title} words="Calculating…" trouble={refused && { what: refused.reason, todo: refused.fix ?? "" }} />;
  return (
    <Frame title={title}>
      {order.places.length === 0 && <p>No eroding place is recorded.</p>}
      {inSteps(order.places).map(({ head, places }) => (
        <section key={head}>
          <h2>{head}</h2>
          <ol class="order" start={places[0]!.number}>
            {places.map((place) => (
              <PlaceOf key={`${place.feature} ${place.number}`} place={place} />
            ))}
          </ol>
        </section>
      ))}
      {order.proposed.length > 0 && (
        <section>
          <h2>Planned and not built</h2>
          {order.proposed.map((p) => (
            <p key={p.kind}>{unbroken(proposedWords(p, order.currency))}</p>
          ))}
          <p>{order.bill ? unbroken(`Together ${billWords(order.bill, order.currency)}`) : order.noRates}</p>
        </section>
      )}
      <LeftOut all={order.leftOut} />
      <ToWatch of={order.cautions} />
      <Fold title="Whose order this is">
        <p>{order.rule}</p>
      </Fold>
    </Frame>
  );
}

function PlaceOf({ place }: { place: Place }) {
  const works = worksWords(place.works);
  return (
    <li>
      <a class="lead" href={`#/thing/${place.feature}`}>
        {called(place.name ?? "", kindNamed(place.kind).label)}
      </a>
      <ul>
        {place.first.map((one) => (
          <li key={one}>{unbroken(one)}</li>
        ))}
      </ul>
      {place.why.length > 0 && <p class="soft">Why: {unbroken(place.why.join(" "))}</p>}
      {works && <p class="soft">Works: {unbroken(works)}.</p>}
      {place.record.length > 0 && (
        <Fold title={`Not known: ${place.record.length}`}>
          {place.record.map((one) => (
            <p key={one}>{unbroken(one)}</p>
          ))}
        </Fold>
      )}
    </li>
  );
}
