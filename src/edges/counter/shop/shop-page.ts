import { isManager } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField, type Say } from './frame.ts';
import type { Session } from './session.ts';

/** Links for colleagues and for the staff chat; managers make them. */
export async function shopPage(means: Means, session: Session, made?: string): Promise<Html> {
  const say = sayIn(means);
  const staff = await means.store.access.staff();
  const manager = isManager(session.staff.role);
  return html`${made ? html`<p class="made" role="status">${say('shop-made')} <code>${made}</code></p>` : null}
    <section class="list">
      <h2>${say('shop-people')}</h2>
      <ul class="people">
        ${staff.map(
          (person) =>
            html`<li>
              <span><strong>${person.name}</strong>, ${say(`role-${person.role}`)}</span>
              ${
                manager
                  ? html`<form method="post" action="/counter/link/sign-in">
                      ${tokenField(session)}<input type="hidden" name="person" value="${person.id}" /><button>
                        ${say('shop-sign-in-link')}<span class="unseen">
                          ${say('shop-for', { name: person.name })}</span
                        >
                      </button>
                    </form>`
                  : null
              }
            </li>`,
        )}
      </ul>
    </section>
    ${manager ? managersLinks(session, say) : html`<p class="small">${say('counter-manager-only')}</p>`}`;
}

const managersLinks = (session: Session, say: Say): Html =>
  html`<section class="list">
      <h2>${say('shop-chat')}</h2>
      <p>${say('shop-chat-how')}</p>
      <form method="post" action="/counter/link/staff-chat">
        ${tokenField(session)}<button>${say('shop-chat-code')}</button>
      </form>
    </section>
    <section class="list">
      <h2>${say('shop-feed')}</h2>
      <p>${say('shop-feed-how')}</p>
      <form method="post" action="/counter/link/feed">
        ${tokenField(session)}<button>${say('shop-feed-make')}</button>
      </form>
    </section>`;
