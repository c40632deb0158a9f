import type { ReactNode } from "react";
import type { Plan } from "#documents/plan";
import { sayEdit } from "../draft-plan.ts";
import { FigureField, TextField } from "../panel/fields.tsx";
import { OutletList } from "./outlet-list.tsx";

/** The day's blocks and breaks, and the circuits that the mains come from. */
export function DayBlocks({ plan }: { readonly plan: Plan }): ReactNode {
  const blocks = plan.day?.blocks ?? [];
  type Block = (typeof blocks)[number];
  const say = (what: string, next: readonly Block[]) =>
    sayEdit({ what, plan: { day: { ...plan.day, blocks: [...next] } } });
  const change = (i: number, part: Partial<Block>) =>
    say(
      `block ${blocks[i]!.name}`,
      blocks.map((b, j) => (i === j ? { ...b, ...part } : b)),
    );
  const { mains } = plan;
  const changeCircuit = (id: string, part: Partial<(typeof mains.circuits)[number]>) =>
    sayEdit({
      what: "a circuit",
      plan: {
        mains: { ...mains, circuits: mains.circuits.map((c) => (c.id === id ? { ...c, ...part } : c)) },
      },
    });
  return (
    <details className="as-table">
      <summary>Blocks of the day, and mains</summary>
      <fieldset className="thing-panel">
        <legend>The day</legend>
        {blocks.map((block, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a block is known by its place in the day
          <div className="fields" key={i}>
            <TextField label="Block" value={block.name} onSay={(name) => change(i, { name })} />
            <FigureField
              label="Records"
              unit="min"
              value={block.minutes}
              min={1}
              max={1440}
              onSay={(minutes) => change(i, { minutes })}
            />
            <FigureField
              label="Then a break of"
              unit="min"
              value={block.breakMinutes}
              min={0}
              max={1440}
              onSay={(breakMinutes) => change(i, { breakMinutes })}
            />
            <button
              type="button"
              className="link"
              onClick={() => say(`taking out ${block.name}`, blocks.toSpliced(i, 1))}
            >
              Take it out
            </button>
          </div>
        ))}
        <div className="actions">
          <button
            type="button"
            className="link"
            onClick={() =>
              say("a block more", [
                ...blocks,
                { name: `Block ${blocks.length + 1}`, minutes: 45, breakMinutes: 15 },
              ])
            }
          >
            One more block
          </button>
        </div>
      </fieldset>
      <fieldset className="thing-panel">
        <legend>Mains</legend>
        {mains.circuits.map((circuit) => (
          <div className="fields" key={circuit.id}>
            <TextField
              label="Circuit"
              value={circuit.name}
              onSay={(name) => changeCircuit(circuit.id, { name })}
            />
            <FigureField
              label="Rated"
              unit="A"
              value={circuit.amperes}
              min={1}
              max={200}
              onSay={(amperes) => changeCircuit(circuit.id, { amperes })}
            />
            {plan.lights.map((light) => (
              <label className="tick" key={light.id}>
                <input
                  type="checkbox"
                  checked={mains.on[light.id] === circuit.id}
                  onChange={(event) => {
                    const { [light.id]: _, ...rest } = mains.on;
                    sayEdit({
                      what: `the circuit of ${light.id}`,
                      plan: {
                        mains: {
                          ...mains,
                          on: event.target.checked ? { ...rest, [light.id]: circuit.id } : rest,
                        },
                      },
                    });
                  }}
                />
                {light.id}
              </label>
            ))}
            <OutletList
              plan={plan}
              circuit={circuit}
              onSay={(outlets) => changeCircuit(circuit.id, { outlets })}
            />
          </div>
        ))}
        <div className="actions">
          <button
            type="button"
            className="link"
            onClick={() =>
              sayEdit({
                what: "a circuit more",
                plan: {
                  mains: {
                    ...mains,
                    circuits: [
                      ...mains.circuits,
                      {
                        id: `circuit-${mains.circuits.length + 1}`,
                        name: `Circuit ${mains.circuits.length + 1}`,
                        amperes: 16,
                      },
                    ],
                  },
                },
              })
            }
          >
            One more circuit
          </button>
        </div>
      </fieldset>
    </details>
  );
}
