import type { AppStore } from '../state/app-store.js';
import { Fold, lazily } from './fold.js';

const StageChoice = lazily(async () => (await import('./stage-choice.js')).StageChoice);
const Onlookers = lazily(async () => (await import('./onlookers.js')).Onlookers);
const DriftTable = lazily(async () => (await import('./drift-table.js')).DriftTable);
const SaveMenu = lazily(async () => (await import('./save-menu.js')).SaveMenu);
const SettingsView = lazily(async () => (await import('./settings-view.js')).SettingsView);

/** What folds out at the foot of the page. */
export function Folds({ store }: { store: AppStore }) {
  const { mayControl, settings } = store.state;
  return (
    <>
      {mayControl && (
        <Fold name="stage-choice" words="Stage">
          {() => <StageChoice store={store} enabled />}
        </Fold>
      )}
      <Fold name="onlookers" words="Onlookers">
        {() => <Onlookers store={store} />}
      </Fold>
      <Fold name="table" words="Table">
        {() => <DriftTable store={store} />}
      </Fold>
      <Fold name="save" words="Save">
        {() => <SaveMenu store={store} />}
      </Fold>
      {mayControl && settings !== undefined && (
        <Fold name="settings-fold" words="Settings">
          {() => (
            <SettingsView settings={settings} enabled={mayControl} send={(order) => store.send(order)} />
          )}
        </Fold>
      )}
    </>
  );
}
