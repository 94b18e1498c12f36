import { Component, type ReactNode } from 'react';
import { AppContext } from '../state/context.tsx';
import { saveToFile } from '../top/fileActions.ts';

interface GuardState {
  message: string | undefined;
}

/** Keeps a fault of one region to that region: the rest of the desk, the property and its file stay in reach. */
export class Guard extends Component<{ region: string; children: ReactNode }, GuardState> {
  static override contextType = AppContext;
  declare context: React.ContextType<typeof AppContext>;
  override state: GuardState = { message: undefined };

  static getDerivedStateFromError(error: unknown): GuardState {
    return { message: error instanceof Error ? error.message : String(error) };
  }

  override render(): ReactNode {
    const { message } = this.state;
    if (message === undefined) return this.props.children;
    const app = this.context;
    return (
      <section className="guard" role="alert">
        <p>
          {this.props.region} stopped: {message}. The property is untouched.
        </p>
        <div className="buttons">
          <button type="button" onClick={() => this.setState({ message: undefined })}>
            Try again
          </button>
          {app && (
            <button type="button" onClick={() => void saveToFile(app)}>
              Save a file
            </button>
          )}
        </div>
      </section>
    );
  }
}
