import { Component, type ReactNode } from "react";

/** Holds one chapter apart from the others: a fault in drawing it leaves the rest of the page whole. */
export class Guard extends Component<
  { readonly name: string; readonly children: ReactNode },
  { readonly fault: string | null }
> {
  override state: { readonly fault: string | null } = { fault: null };

  static getDerivedStateFromError(error: unknown): { fault: string } {
    return { fault: error instanceof Error ? error.message : String(error) };
  }

  override render(): ReactNode {
    if (this.state.fault === null) return this.props.children;
    return (
      <section className="chapter" aria-label={this.props.name}>
        <p className="verdict">
          <span className="sign">‡</span>
          {this.props.name} could not be drawn. What was measured is unharmed, and the files are where they
          were.
        </p>
        <p className="caption">Load the page again. For whoever mends it: {this.state.fault}</p>
      </section>
    );
  }
}
