import { tell } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';

/** The story: its sentence, and the steps. Without one, a button that opens it. */
export function StoryBar({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const { frame, settings } = store.state;
  const story = frame?.stage.story;
  if (!story) {
    const stories = settings?.stories ?? [];
    if (!enabled || stories.length === 0) return null;
    return (
      <span class="story-open">
        {stories.map((name) => (
          <button key={name} type="button" onClick={() => store.send({ type: 'story', act: 'open', name })}>
            {stories.length === 1 ? 'Tell the story' : `Tell: ${name}`}
          </button>
        ))}
      </span>
    );
  }
  return (
    <section class="story" aria-label="Story">
      <p class="step">
        {story.title}, step {story.step} of {story.steps}
      </p>
      <p class="sentence" aria-live="polite">
        {story.sentence}
      </p>
      {enabled && (
        <span class="buttons">
          <button type="button" disabled={story.step === 1} onClick={() => tell(store, 'back')}>
            Back
          </button>
          <button
            type="button"
            class="strong"
            disabled={story.step === story.steps}
            onClick={() => tell(store, 'next')}
          >
            Next
          </button>
          <button type="button" onClick={() => store.send({ type: 'story', act: 'close' })}>
            End the story
          </button>
        </span>
      )}
    </section>
  );
}
