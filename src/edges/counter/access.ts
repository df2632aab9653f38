/** The shop's roles, as flows/shop.yaml gives them to its people. */
type Role = 'manager' | 'advisor' | 'technician';

/**
 * Who may use a route: anyone; the owner's own browser, by its cookie; whoever holds a secret that is in the address or
 * a header; whoever runs the machine, from the machine itself or with the token of the settings; or signed-in staff of
 * the roles named.
 */
export type Who = 'anyone' | 'own-browser' | 'secret' | 'operator' | readonly Role[];

const STAFF: readonly Role[] = ['manager', 'advisor', 'technician'];
const DESK: readonly Role[] = ['manager', 'advisor'];
const MANAGER: readonly Role[] = ['manager'];

/** Every route of the server. The server does not start with a route that is missing here. */
export const ROUTES: Record<string, Who> = {
  'GET /healthz': 'anyone',
  'GET /readyz': 'anyone',
  'GET /metrics': 'operator',
  'GET /public/*': 'anyone',
  'POST /telegram': 'secret',

  'GET /': 'anyone',
  'POST /chat/open': 'own-browser',
  'POST /chat/send': 'own-browser',
  'POST /chat/press': 'own-browser',
  'POST /chat/edit': 'own-browser',
  'GET /chat/lines': 'own-browser',
  'GET /chat/events': 'own-browser',
  'GET /chat/picture/:id': 'own-browser',
  'GET /chat/file/:id': 'own-browser',

  'GET /counter/in/:code': 'anyone',
  'POST /counter/in/:code': 'secret',
  'GET /counter/feed/:secret': 'secret',
  'POST /counter/out': STAFF,
  'GET /counter': STAFF,
  'GET /counter/events': STAFF,
  'GET /counter/day': STAFF,
  'GET /counter/week': STAFF,
  'GET /counter/trucks': STAFF,
  'GET /counter/trucks.csv': DESK,
  'GET /counter/records.csv': DESK,
  'GET /counter/truck/:id': STAFF,
  'GET /counter/truck/:id/label': STAFF,
  'GET /counter/import': DESK,
  'POST /counter/import': DESK,
  'POST /counter/import/take': DESK,
  'GET /counter/enter': DESK,
  'POST /counter/enter': DESK,
  'POST /counter/truck/:id/papers': DESK,
  'POST /counter/block': DESK,
  'POST /counter/block/:id/end': DESK,
  'GET /counter/waiting': STAFF,
  'GET /counter/forecasts': STAFF,
  'GET /counter/unread.jsonl': DESK,
  'POST /counter/unread/:id': STAFF,
  'GET /counter/shop': STAFF,
  'POST /counter/link/:kind': MANAGER,
  'GET /counter/picture/:id': STAFF,
  'GET /counter/request/:id': STAFF,
  'GET /counter/request/:id/close': STAFF,
  'GET /counter/request/:id/:action': STAFF,
  'POST /counter/request/:id/:action': STAFF,
  'POST /counter/demo-clock': STAFF,
};

/** What may be done with a request: agreements with the owner are the desk's, the work is everybody's. */
export const ACTIONS: Record<string, readonly Role[]> = {
  accept: DESK,
  decline: DESK,
  cancel: DESK,
  'other-time': DESK,
  'own-time': DESK,
  'no-show': DESK,
  call: STAFF,
  say: STAFF,
  arrive: STAFF,
  'record-arrival': STAFF,
  'start-work': STAFF,
  lengthen: STAFF,
  'ask-approval': STAFF,
  'record-approval': STAFF,
  phoned: STAFF,
  close: STAFF,
};

/** Whether a member of the staff may use the route, written as `GET /counter`. */
export function mayUse(route: string, role: string): boolean {
  const who = ROUTES[route];
  return Array.isArray(who) && who.includes(role as Role);
}

export const mayDo = (action: string, role: string): boolean => ACTIONS[action]?.includes(role as Role) ?? false;

export const isManager = (role: string): boolean => MANAGER.includes(role as Role);
