// Prints what npm isoxml 1.11.2 (Apache-2.0) reads from a set of task data: node read-with-isoxml.js SET.zip > isoxml.json
const fs = require('fs')
const { ISOXMLManager } = require('isoxml')
const turf = require('@turf/turf')
const round = (v, n) => Math.round(v * 10 ** n) / 10 ** n

;(async () => {
  const m = new ISOXMLManager()
  await m.parseISOXMLFile(new Uint8Array(fs.readFileSync(process.argv[2])), 'application/zip')
  const root = m.rootElement.attributes
  const id = (e) => m.getReferenceByEntity(e).xmlId
  const out = { warnings: m.getWarnings(), products: [], elements: [], tasks: [] }
  for (const p of root.Product || []) out.products.push({ id: id(p), name: p.attributes.ProductDesignator })
  for (const d of root.Device || []) {
    const a = d.attributes
    out.device = { name: a.DeviceDesignator, client: a.ClientNAME, structure: a.DeviceStructureLabel, localisation: a.DeviceLocalizationLabel }
    const by = {}
    for (const p of a.DeviceProperty || []) by[p.attributes.DevicePropertyObjectId] = [p.attributes.DevicePropertyDDI, p.attributes.DevicePropertyValue]
    for (const p of a.DeviceProcessData || []) by[p.attributes.DeviceProcessDataObjectId] = [p.attributes.DeviceProcessDataDDI, null]
    const name = {}
    for (const e of a.DeviceElement) name[e.attributes.DeviceElementObjectId] = id(e)
    for (const e of a.DeviceElement) {
      const x = e.attributes
      const values = {}
      for (const r of x.DeviceObjectReference || []) { const [ddi, v] = by[r.attributes.DeviceObjectId]; values[ddi] = v }
      out.elements.push({ id: id(e), type: +x.DeviceElementType, name: x.DeviceElementDesignator, number: x.DeviceElementNumber, parent: name[x.ParentObjectId] || '', values })
    }
  }
  for (const t of root.Task || []) {
    const a = t.attributes
    const zones = (a.TreatmentZone || []).map((z) => ({
      code: z.attributes.TreatmentZoneCode,
      rate: z.attributes.ProcessDataVariable[0].attributes.ProcessDataValue,
      ddi: z.attributes.ProcessDataVariable[0].attributes.ProcessDataDDI,
      product: z.attributes.ProcessDataVariable[0].attributes.ProductIdRef.xmlId,
      element: z.attributes.ProcessDataVariable[0].attributes.DeviceElementIdRef.xmlId,
      polygons: (z.attributes.PolygonTreatmentZoneonly || []).length,
      m2: round((z.attributes.PolygonTreatmentZoneonly || []).reduce((s, p) => s + turf.area({ type: 'MultiPolygon', coordinates: p.constructor.toGeoJSON([p]).coordinates }), 0), 2),
    }))
    out.tasks.push({ id: id(t), name: a.TaskDesignator, status: +a.TaskStatus, codes: [a.DefaultTreatmentZoneCode, a.PositionLostTreatmentZoneCode, a.OutOfFieldTreatmentZoneCode], zones })
  }
  console.log(JSON.stringify(out, null, 1))
})()
